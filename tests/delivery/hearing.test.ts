import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { type Hearing, HearingWatch, hear, type News } from '../../src/delivery/hearing.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Envelope } from '../../src/delivery/ports.ts';
import { bare } from '../../src/say/message.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

const MIN = 60_000;

/** Looks every 15 s; `up` says for each minute whether the chat is there. */
function play(up: readonly boolean[]): { atMin: number; news: News }[] {
  const said: { atMin: number; news: News }[] = [];
  let hearing: Hearing = {};
  let lostAt: number | undefined;
  up.forEach((there, minute) => {
    for (let s = 0; s < 60; s += 15) {
      const nowMs = minute * MIN + s * 1000;
      lostAt = there ? undefined : (lostAt ?? nowMs);
      const { now, news } = hear(hearing, lostAt === undefined ? undefined : nowMs - lostAt, nowMs);
      hearing = now;
      if (news !== undefined) said.push({ atMin: nowMs / MIN, news });
    }
  });
  return said;
}
const minutes = (n: number, up: boolean) => Array.from({ length: n }, () => up);

describe('whether posts reach us', () => {
  it('a loss that mends itself within five minutes is not spoken of', () => {
    expect(play([true, ...minutes(4, false), ...minutes(60, true)])).toEqual([]);
  });

  it('is said once when lost, and once when it is back and has held', () => {
    const said = play([true, ...minutes(90, false), ...minutes(60, true)]);
    expect(said.map((s) => [s.atMin, s.news.kind])).toEqual([
      [6, 'deaf'],
      [94, 'hearing'],
    ]);
    expect(said[1]?.news).toEqual({ kind: 'hearing', sinceMs: MIN, backMs: 91 * MIN });
  });

  it('that comes and goes every other minute is lost all the while', () => {
    const flapping = Array.from({ length: 120 }, (_, i) => i % 3 === 0);
    const said = play([...flapping, ...minutes(60, true)]);
    expect(said.map((s) => s.news.kind)).toEqual(['deaf', 'hearing']);
  });

  it('whatever it does, deaf and back take turns, and are said at most three times in an hour each', () => {
    fc.assert(
      fc.property(fc.array(fc.boolean(), { maxLength: 300 }), (up) => {
        const said = play(up);
        said.forEach((s, i) => {
          expect(s.news.kind).toBe(i % 2 === 0 ? 'deaf' : 'hearing');
        });
        for (const { atMin } of said) {
          const lately = said.filter(
            (s) => s.news.kind === 'deaf' && s.atMin >= atMin && s.atMin < atMin + 60,
          );
          expect(lately.length).toBeLessThanOrEqual(4);
        }
      }),
    );
  });
});

let w: World;
let lost: number | undefined;
let watch: HearingWatch;
const hearing = (answers = () => true) =>
  new HearingWatch({
    store: w.store,
    clock: w.clock,
    records: w.app.records,
    log: w.app.log,
    answers,
    lostMs: () => (lost === undefined || !answers() ? undefined : w.clock.wallMs() - lost),
  });

beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/checkin plan once:18:00 callout:"tomorrow 20:00"');
  lost = undefined;
  watch = hearing();
});
afterEach(() => w.close());

async function pass(min: number): Promise<void> {
  for (let i = 0; i < min; i++) {
    w.clock.advance(MIN);
    await watch.look();
  }
  await w.tick();
}
const about = (words: string) => w.told.filter((t) => t.text.includes(words));

describe('a party that is out', () => {
  beforeEach(async () => {
    await w.say('mara', '/trip depart');
    await w.tick();
    w.told.length = 0;
  });

  it('its contact and its channel are told what it means, and the watch goes on', async () => {
    lost = w.clock.wallMs();
    await pass(6);
    const [channel, mail] = w.told;
    expect(w.told).toHaveLength(2);
    expect(channel).toMatchObject({ way: 'channel' });
    expect(channel?.text).toContain('Posts and buttons here have not reached tagline since 06:10.');
    expect(channel?.text).toContain('tell Dana by phone: Dana +47 000 00 000.');
    expect(mail).toMatchObject({ way: 'dm', to: 'Dana' });
    expect(mail?.text).toContain('The trouble is ours: it says nothing about the party.');
    expect(mail?.text).toContain('The watch goes on');
    expect(mail?.text).toContain('Next: a check-in at Thu 18:00.');
  });

  it('an alarm meanwhile says that the silence may be ours', async () => {
    const told: string[] = [];
    const channel = async (_: string, { message }: Envelope) => {
      told.push(message.lines.map(bare).join('\n'));
      return { ok: true, receipt: 'r' } as const;
    };
    const deafSinceMs = () => watch.deafSinceMs;
    const alone = new Watch(
      watchParts(w.app, { ways: { channel }, owner: 'test/2/2', deafSinceMs }),
    );
    lost = w.clock.wallMs();
    await pass(6);
    w.at('2031-06-12 18:01');
    await alone.tick();
    expect(told.at(-1)?.split('\n')[1]).toBe(
      'Posts have not reached us since 06:10: the chat is cut off. They may have told it all the same. Ring them first.',
    );
    lost = undefined;
    await pass(10);
    w.at('2031-06-12 18:40');
    await alone.tick();
    expect(told.at(-1)).not.toContain('Posts have not reached us');
  });

  it('it is told when it is over, and what to do about what is missing', async () => {
    lost = w.clock.wallMs();
    await pass(30);
    lost = undefined;
    w.told.length = 0;
    await pass(10);
    expect(w.told.map((t) => t.way).sort()).toEqual(['channel', 'dm']);
    expect(about('Posts reach tagline again, since ')).toHaveLength(2);
    expect(about('since 06:41. Those from 06:10 on may be missing.')).toHaveLength(1);
    expect(about('post what is missing with the time it happened')).toHaveLength(1);
    expect(watch.deafSinceMs).toBeUndefined();
  });

  it('over a restart it is not told again, and its end is told', async () => {
    lost = w.clock.wallMs();
    await pass(6);
    watch = hearing();
    await pass(20);
    expect(about('not reached')).toHaveLength(2);
    lost = undefined;
    await pass(10);
    expect(about('Posts reach tagline again')).toHaveLength(2);
  });

  it('of several processes only the one that answers judges, and who takes its place ends what it said', async () => {
    let first = true;
    watch = hearing(() => first);
    const other = hearing(() => !first);
    const both = async (min: number) => {
      for (let i = 0; i < min; i++) {
        await pass(1);
        await other.look();
      }
      await w.tick();
    };
    const lostMs = w.clock.wallMs();
    lost = lostMs;
    await both(30);
    expect(about('not reached')).toHaveLength(2);
    // Its pages say it too.
    expect(other.deafSinceMs).toBe(lostMs);
    first = false;
    await both(1);
    lost = undefined;
    await both(10);
    expect(about('not reached')).toHaveLength(2);
    expect(about('Posts reach tagline again')).toHaveLength(2);
    expect([watch.deafSinceMs, other.deafSinceMs]).toEqual([undefined, undefined]);
  });

  it('when everyone is down meanwhile nobody is told', async () => {
    const [yes] = (await w.say('mara', '/trip down')).buttons ?? [];
    expect(text(await w.say('mara', `[${yes?.label}]`))).toContain('Everyone down');
    w.told.length = 0;
    lost = w.clock.wallMs();
    await pass(10);
    expect(about('not reached')).toEqual([]);
  });
});

describe('a party that has not left', () => {
  it('is told nothing', async () => {
    lost = w.clock.wallMs();
    await pass(10);
    expect(w.told).toEqual([]);
  });
});
