/** An answer by mail belongs to the message it answers, in any history: it does what a button of that would do, or nothing. */
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { toldOf } from '../../src/alarm/ladder.ts';
import { noticeData } from '../../src/alarm/notice.ts';
import { Desk } from '../../src/inbox/desk.ts';
import { readMail } from '../../src/inbox/incoming.ts';
import { answers } from '../alarm/model/bound.ts';
import { runs } from '../helpers/long.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

/** A contact's words, and what they leave in the record where they are taken. */
const WORDS = {
  OK: 'watch.acked',
  called: 'watch.called',
  'They are well': 'watch.ok',
  'The rescue service knows': 'watch.stoodDown',
} as const;
type Words = keyof typeof WORDS;

type Move =
  | { do: 'pass'; min: number }
  | { do: 'line'; who: string; line: string }
  | { do: 'mail'; words: Words; back: number };

const moves: fc.Arbitrary<Move> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.integer({ min: 5, max: 400 }).map((min): Move => ({ do: 'pass', min })),
  },
  {
    weight: 3,
    arbitrary: fc
      .constantFrom<[string, string]>(
        ['mara', '/checkin ok'],
        ['mara', '/checkin plan once:+40m'],
        ['mara', '/checkin plan once:+3h'],
        ['mara', '/trouble report what:"Ines fell, leg hurt"'],
        ['mara', '/trouble over said:"Ines walks again, seen by Mara"'],
        ['greta', '/overdue resolve how:called'],
      )
      .map(([who, line]): Move => ({ do: 'line', who, line })),
  },
  {
    weight: 5,
    arbitrary: fc.record({
      do: fc.constant('mail' as const),
      words: fc.constantFrom(...(Object.keys(WORDS) as Words[])),
      back: fc.oneof(fc.nat(2), fc.nat(12)),
    }),
  },
);

/** What the answers met, so that a run that tests nothing is seen. */
type Met = Map<string, number>;

class Play {
  readonly #w: World;
  readonly #desk: Desk;
  readonly #met: Met;
  #mails = 0;

  constructor(w: World, met: Met) {
    const { mailAddresses: addresses } = w.app;
    if (addresses === undefined) throw new Error('no addresses');
    this.#w = w;
    this.#met = met;
    this.#desk = new Desk({
      app: w.app,
      addresses,
      email: async () => ({ ok: true, receipt: 'x' }),
    });
  }

  async act(move: Move): Promise<void> {
    const w = this.#w;
    if (move.do === 'mail') return this.#answer(move.words, move.back);
    if (move.do === 'line') await w.say(move.who, move.line);
    else await this.#pass(move.min * 60_000);
    await w.tick();
  }

  async #pass(ms: number): Promise<void> {
    const { clock, watch } = this.#w;
    const endMs = clock.wallMs() + ms;
    for (;;) {
      const next = await watch.nextAt();
      if (next === undefined || next > endMs) break;
      clock.set(Math.max(next, clock.wallMs()));
      await watch.tick();
    }
    clock.set(endMs);
  }

  /** Dana answers the nth-last mail that she got. */
  async #answer(words: Words, back: number): Promise<void> {
    const w = this.#w;
    const sent = w.told.filter((t) => t.way === 'email' && t.to === 'Dana').at(-1 - back);
    if (sent === undefined) return;
    const before = (await w.trip()).state;
    const { nonce } = sent.envelope;
    const row = (await w.store.notices(before.id)).find((n) => n.nonce === nonce);
    const { what } = noticeData.parse(row?.data);
    await this.#mail(words, nonce);
    const facts = (await w.trip()).state.entries.slice(before.seq).map((e) => e.event);
    await w.tick();
    const did = facts.map((f) => f.kind);
    const count = (how: string): void => {
      this.#met.set(how, (this.#met.get(how) ?? 0) + 1);
    };
    if (what.kind !== 'phase' && what.kind !== 'standdown') {
      // It asked for no such word: while an alarm stands it is taken for none.
      const stands = before.watch.raised.some((r) => answers(before, r, 'dana'));
      if (stands) expect(did, `${words} to ${what.kind} while an alarm stands`).toEqual([]);
      return count(stands ? 'of no alarm' : 'of no alarm, while none stands');
    }
    if (what.kind === 'standdown') return count('stand down');
    const raised = before.watch.raised.find((r) => r.seq === what.raised);
    if (raised === undefined || !toldOf(before, raised).includes('dana')) return;
    if (!answers(before, raised, 'dana')) {
      expect(did, `${words} to an alarm that is over`).toEqual([]);
      return count('over');
    }
    // A call that was noted already is no news, and a stand-down is for after a sign.
    if (did.length === 0) return count(`${words}: nothing`);
    expect(did).toEqual([WORDS[words]]);
    expect(facts[0]?.by.name).toBe('Dana');
    count(`${words}: taken`);
  }

  async #mail(words: Words, nonce: string): Promise<void> {
    const w = this.#w;
    const { id } = (await w.trip()).state;
    const person = { person: 'dana', to: 'dana@example.org' };
    const to = await w.app.mailAddresses?.address(id, person);
    const head = [
      'From: Dana <dana@example.org>',
      `To: ${to}`,
      `Message-ID: <${++this.#mails}@home.example.org>`,
      `In-Reply-To: <${nonce}@tagline.example.org>`,
    ];
    await this.#desk.take(
      await readMail(new TextEncoder().encode([...head, '', words].join('\r\n'))),
    );
  }
}

it('does what a button of the message that it answers would do, or nothing', async () => {
  const met: Met = new Map();
  await fc.assert(
    fc.asyncProperty(fc.array(moves, { minLength: 6, maxLength: 20 }), async (all) => {
      const w = await world({ around: () => ({ inbox: 'words+*@tagline.example.org' }) });
      try {
        await openDemo(w);
        for (const line of ['/checkin plan down:18:00 callout:23:00', '/trip depart']) {
          const reply = await w.say('mara', line);
          if (reply.refused) throw new Error(`${line}: ${text(reply)}`);
        }
        w.at('2031-06-12 17:00');
        await w.tick();
        const play = new Play(w, met);
        for (const move of all) await play.act(move);
      } finally {
        await w.close();
      }
    }),
    { numRuns: runs(20, 1000), seed: 20310612 },
  );
  for (const what of ['OK: taken', 'They are well: taken', 'over'])
    expect([what, (met.get(what) ?? 0) > 0]).toEqual([what, true]);
});
