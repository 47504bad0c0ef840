/** What a contact reads: picked, or said by their chat; and how a refusal reads in another language. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { renderNotice } from '../../src/alarm/render.ts';
import { ackButton, calledButton, fineButton } from '../../src/alarm/words/common.ts';
import { dispatch } from '../../src/app/dispatch.ts';
import { inTheirWords } from '../../src/app/toward.ts';
import { callOf } from '../../src/chat/discord/call.ts';
import { wordsIn } from '../../src/say/contact/words.ts';
import { bare } from '../../src/say/message.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { personById } from '../../src/trip/state.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
let count = 0;

beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const state = async () => (await w.trip()).state;
const dana = async () => personById(await state(), 'dana');
const lines = (reply: Reply) => reply.lines.map(bare).join('\n');

/** Dana presses something where nobody else reads the answer, or in the channel. */
async function press(
  path: string,
  options: Record<string, string | number | boolean>,
  { locale, direct = true }: { locale?: string; direct?: boolean } = {},
): Promise<Reply> {
  const { row } = await w.trip();
  const call = {
    id: `test:${++count}`,
    atMs: w.clock.wallMs(),
    actor: { id: 'contact:dana', name: 'Dana' },
    ...(locale === undefined ? {} : { locale }),
    where: { channel: row.channel, direct },
    trip: row.id,
  };
  return dispatch(w.app, call, path, options);
}

describe('what a contact reads', () => {
  it('is what they pick, and is said in it from then on', async () => {
    const picked = await press('checkin contact', { answer: 'de' });
    expect(lines(picked)).toContain('Ab jetzt lesen Sie hier Deutsch.');
    // Until a native speaker has read it, whoever picks it is told so.
    expect(lines(picked)).toContain('Diese Texte hat noch niemand geprüft');
    expect((await dana())?.locale).toBe('de');
    const back = await press('checkin contact', { answer: 'en' });
    expect(lines(back)).toBe('You read English here from now on.');
    expect((await dana())?.locale).toBe('en');
  });

  it('is what their chat says, kept with their first answer, where they picked nothing', async () => {
    expect(lines(await press('checkin contact', { answer: 'yes' }, { locale: 'de' }))).toContain(
      'Dana ist schon Kontaktperson.',
    );
    expect((await dana())?.locale).toBe('de');
    // What was picked is not changed by another program.
    await press('checkin contact', { answer: 'yes' }, { locale: 'en-US' });
    expect((await dana())?.locale).toBe('de');
  });

  it('is English where their language is not among ours, and in the channel', async () => {
    expect(lines(await press('checkin contact', { answer: 'yes' }, { locale: 'nb' }))).toContain(
      'Dana is contact already.',
    );
    const said = await press('checkin contact', { answer: 'yes' }, { locale: 'de', direct: false });
    expect(lines(said)).toContain('Dana is contact already.');
    expect((await dana())?.locale).toBeUndefined();
  });

  it('is by the clock of their part of the world', async () => {
    await w.say('mara', '/checkin plan down:18:00 callout:23:00');
    await w.say('mara', '/trip depart');
    const { seq } = await state();
    const told = async () => {
      const made = renderNotice(
        await state(),
        { to: 'dana', what: { kind: 'plan', seq, departed: true } },
        { nowMs: w.clock.wallMs(), organizer: 'watch@example.org' },
      );
      if (!('send' in made)) throw new Error(made.drop);
      return [made.send.subject, ...made.send.lines.map(bare)].join('\n');
    };
    expect(await told()).toContain('Everyone down by Thu 18:00.');
    await press('checkin contact', { answer: 'yes' }, { locale: 'en-US' });
    expect(await told()).toContain('Everyone down by Thu 6:00 pm.');
    await press('checkin contact', { answer: 'de' });
    expect(await told()).toContain('Alle unten bis Do 18:00.');
  });

  it('comes with what Discord says of whoever presses', () => {
    const interaction = (locale: unknown) =>
      ({
        id: '1',
        guildId: null,
        channelId: '2',
        locale,
        user: { id: '3', displayName: 'Dana' },
        member: null,
        memberPermissions: null,
      }) as never;
    expect(callOf(interaction('de'), w.clock).locale).toBe('de');
    expect(callOf(interaction('zh-CN'), w.clock).locale).toBe('zh-CN');
    expect(callOf(interaction('../etc'), w.clock)).not.toHaveProperty('locale');
    expect(callOf(interaction(undefined), w.clock)).not.toHaveProperty('locale');
  });
});

describe('a refusal to who reads German', () => {
  beforeEach(() => press('checkin contact', { answer: 'de' }));

  it('has a sentence of its kind, and its buttons in German', async () => {
    const time = await press('checkin ok', { at: 'soon' });
    expect(lines(time)).toContain('Die Zeit war nicht zu lesen.');
    const hurt = await press('checkin ok', { words: 'Ines is hurt' });
    expect(hurt.code).toBe('sounds-like-trouble');
    expect(lines(hurt)).toContain('Noch ist nichts notiert.');
    expect(hurt.buttons?.map((b) => b.label)).toEqual(['Notlage melden', 'Alle sind wohlauf']);
    expect(lines(await press('overdue resolve', { how: 'called' }))).toContain('kein Alarm');
  });

  it('names in German the step that stands, and every answer to it', async () => {
    const over = new Refusal('button-over', 'Over.', [
      ackButton(7),
      calledButton(7),
      fineButton(7),
    ]);
    const labels = inTheirWords(wordsIn('de'), over.reply()).buttons?.map((b) => b.label);
    expect(labels).toEqual(['Ich kümmere mich', 'Rettungsdienst angerufen', 'Es geht ihnen gut']);
  });

  it('has one for all that their own commands, pages and messages can be refused with', async () => {
    const tries: [string, Record<string, string | number | boolean>][] = [
      ['pitch done', { number: 1 }],
      ['overdue ack', {}],
      ['overdue ack', { alarm: 3 }],
      ['overdue agree', { entry: 999 }],
      ['overdue agree', {}],
      ['overdue link', {}],
      ['overdue link', { for: 'Mara' }],
      ['overdue resolve', { how: 'fine', alarm: 3 }],
      ['overdue resolve', { how: 'stood-down' }],
      ['trouble over', { said: 'x' }],
      ['trouble over', { said: 'x', trouble: 99 }],
      ['trouble update', { words: 'x' }],
      ['trouble report', { what: 'x', who: 'Nobody' }],
      ['checkin ok', { at: 'tomorrow 23:00' }],
      ['checkin ok', { who: 'Nobody' }],
      ['checkin drill', { who: 'Nobody' }],
      ['checkin contact', { answer: 'yes', code: 'AAAA-AAAA' }],
      ['checkin contact', { answer: 'again' }],
      ['pitch strike', { entry: 1 }],
      ['pitch strike', { entry: 999 }],
    ];
    const english: string[] = [];
    let refused = 0;
    for (const [path, options] of tries) {
      const reply = await press(path, options);
      if (reply.refused === true) refused += 1;
      if (/Englisch|\b(?:the|is|not|no)\b/u.test(lines(reply)))
        english.push(`${path} ${reply.code}: ${lines(reply)}`);
    }
    expect(english).toEqual([]);
    expect(refused).toBeGreaterThan(12);
  });

  it('or says that the reason is in English, and gives it whole', async () => {
    const reply = await press('checkin plan', { down: '23:00', callout: '22:00' });
    expect(reply.code).toBe('bad-order');
    expect(lines(reply)).toMatch(/^Das ging nicht\. Der Grund auf Englisch:\n\w+/u);
  });
});
