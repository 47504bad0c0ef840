import { MessageFlags } from 'discord.js';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { showMessage } from '../../../src/app/board/show-message.ts';
import { boardChannel } from '../../../src/chat/discord/board.ts';
import { discordWays } from '../../../src/chat/discord/deliver.ts';
import type { Reply } from '../../../src/say/reply.ts';
import { ClientRefusal } from '../../discord/driver.ts';
import { chatStore } from '../fakes.ts';
import { type Bot, startBot, until } from './bot.ts';

let bot: Bot;

beforeAll(async () => {
  bot = await startBot();
});
afterEach(() => bot.stand.faults.clear());
afterAll(() => bot.close());

let count = 0;
async function send(reply: object, change: object = {}) {
  const { wall, outgoing } = bot;
  count += 1;
  const message = { reply: reply as Reply, nonce: `s-${count}`, nowMs: 0, trip: 'trip0001' };
  const sent = await outgoing.toChannel(wall.id, { ...message, ...change });
  expect(sent.ok).toBe(true);
  const shown = wall.messages.at(-1);
  if (shown === undefined) throw new Error('nothing came');
  return shown;
}
const isSilent = ({ flags }: { flags: number }) =>
  (flags & MessageFlags.SuppressNotifications) !== 0;

describe('a button', () => {
  // Two names of forty letters and a trip: more than the hundred characters that its id may have.
  const entry = `${'Ø'.repeat(60)}|${'x'.repeat(80)};%`;

  it('that says more than its id can hold works all the same, over a restart too', async () => {
    const button = { label: 'Take it back', press: { path: 'post undo', options: { entry } } };
    const message = await send({ lines: ['Done.'], buttons: [button] });
    await bot.stand.press(bot.mara, message, 'Take it back');
    expect(bot.calls.at(-1)).toMatchObject({ args: { entry }, call: { trip: 'trip0001' } });
    const again = await bot.start();
    await bot.chat.close();
    bot.chat = again;
    await bot.stand.press(bot.mara, message, 'Take it back');
    expect(bot.calls.at(-1)).toMatchObject({ args: { entry } });
  });

  it('that asks first keeps all of it through its form', async () => {
    const press = { path: 'post done', options: { number: 3, leader: entry } };
    const fields = [{ name: 'at', label: 'Time' }];
    const button = { label: 'When?', press, ask: { title: 'When was it?', fields } };
    const message = await send({ lines: ['Done.'], buttons: [button] });
    const form = await bot.stand.press(bot.mara, message, 'When?');
    await bot.stand.submitModal(bot.mara, form, { Time: '14:05' }, { allowRefusals: true });
    // The fake command has no leader; that it is named shows that it came through.
    expect(bot.wall.messages.at(-1)?.content).toContain('leader: not an option');
  });

  it('on an answer is spent by what it does; on a board or an alarm it stays', async () => {
    const { stand, mara, wall } = bot;
    const answer = await stand.slash(mara, wall, '/post done', { number: 3 });
    const before = wall.messages.length;
    await stand.press(mara, answer, 'Undo');
    await until(() => bot.chat.health().underWay === 0);
    expect(wall.messages.length).toBe(before + 1);
    await expect(stand.press(mara, answer, 'Undo')).rejects.toBeInstanceOf(ClientRefusal);
    await stand.press(mara, answer, 'Change the time');
    const undo = { label: 'Undo', press: { path: 'post undo', options: { entry: 'p3' } } };
    const alarm = await send({ lines: ['Overdue.'], buttons: [undo] });
    await stand.press(mara, alarm, 'Undo');
    await stand.press(mara, alarm, 'Undo');
  });

  it('on a question for the asker alone is spent as well; refused, it can be pressed again', async () => {
    const { stand, mara, wall } = bot;
    const refused = await stand.slash(mara, wall, '/echo refuse');
    expect(refused.private).toBe(true);
    const done = await stand.press(mara, refused, '7 as well');
    expect(done.text).toContain('Pitch 7 done');
    await expect(stand.press(mara, refused, '7 as well')).rejects.toThrow('greyed out');
    const button = { label: 'Refuse', press: { path: 'echo refuse', options: {} } };
    const message = await send({ lines: ['Sure?'], buttons: [button] });
    await stand.press(mara, message, 'Refuse');
    await stand.press(mara, message, 'Refuse');
  });
});

describe('a command in a line', () => {
  it('is something to tap; with options it is something to copy', async () => {
    const lines = [
      [{ code: '/post done' }, ' or ', { code: '/post done number:3' }, ' or ', { code: '/post' }],
    ];
    const { content } = await send({ lines });
    expect(content).toMatch(/^<\/post done:\d+> or `\/post done number:3` or `\/post`$/u);
  });
});

describe('what rings a phone', () => {
  it('not a routine answer, not a board; an alarm and who is named', async () => {
    const { stand, mara, wall } = bot;
    expect(isSilent((await stand.slash(mara, wall, '/post done', { number: 3 })).message)).toBe(
      true,
    );
    expect(isSilent((await stand.slash(mara, wall, '/echo slow', { ring: true })).message)).toBe(
      false,
    );
    const board = boardChannel(bot.outgoing);
    await board.post(wall.id, { reply: { lines: ['Board.'] }, trip: 'trip0001', nowMs: 0 }, 'b-1');
    expect(isSilent(wall.messages.at(-1) ?? { flags: 0 })).toBe(true);
    const ways = discordWays(bot.outgoing);
    const message = { subject: 'x', lines: ['x'] };
    for (const [urgency, silent] of [
      [0, false],
      [3, false],
      [5, true],
    ] as const) {
      await ways.channel?.(wall.id, {
        message,
        trip: 'trip0001',
        nonce: `u-${urgency}`,
        nowMs: 0,
        urgency,
      });
      expect(isSilent(wall.messages.at(-1) ?? { flags: -1 })).toBe(silent);
    }
  });
});

describe('a time', () => {
  it('to one person is shown in their own zone too, every one of them', async () => {
    const { dana, stand, outgoing } = bot;
    const lines = [
      [
        'By ',
        { text: 'Thu 18:00', atMs: 1_000_000 },
        ' or ',
        { text: 'Fri 06:00', atMs: 2_000_000 },
        '.',
      ],
    ];
    await outgoing.toUser(dana.id, { reply: { lines }, nonce: 'd-1', nowMs: 0 });
    expect(stand.dm(dana).messages.at(-1)?.content).toBe(
      'By Thu 18:00 (<t:1000:F>) or Fri 06:00 (<t:2000:F>).',
    );
  });
});

describe('a board whose picture is refused', () => {
  it.each([
    [400, 50035],
    [413, 40005],
  ])('goes out in words (%i, %i)', async (status, code) => {
    bot.stand.faults.add({
      route: 'POST /channels/:channel/messages',
      when: (r) => r.files.length > 0,
      fault: { what: 'code', status, code },
    });
    const files = [{ name: 'trip.png', mime: 'image/png', bytes: new Uint8Array([1]), alt: 'x' }];
    const message = { reply: { lines: ['On pitch 3.'], files }, trip: `trip${code}`, nowMs: 0 };
    const parts = { store: chatStore(), channel: boardChannel(bot.outgoing) };
    const shown = await showMessage(parts, {
      channel: bot.wall.id,
      message,
      pin: false,
      last: false,
    });
    expect(shown).toMatchObject({ shown: true, bare: true });
    expect(bot.wall.messages.at(-1)).toMatchObject({ content: 'On pitch 3.', files: [] });
  });
});

describe('an attachment', () => {
  it('is named by a string, as the schema has it', async () => {
    const files = [{ name: 'a.txt', mime: 'text/plain', bytes: new Uint8Array([1]) }];
    await send({ lines: ['x'], files });
    const body = bot.stand.journal.of('request').at(-1)?.body;
    expect(body).toMatchObject({ attachments: [{ id: '0' }] });
  });
});
