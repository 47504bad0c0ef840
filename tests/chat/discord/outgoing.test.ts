import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { OutgoingMessage } from '../../../src/chat/discord/outgoing.ts';
import { type Bot, startBot } from './bot.ts';

const SEND = 'POST /channels/:channel/messages';

let bot: Bot;

beforeAll(async () => {
  bot = await startBot();
});
afterEach(() => {
  bot.stand.faults.clear();
  bot.stand.trouble(bot.wall, undefined);
  bot.dana.dmClosed = false;
});
afterAll(() => bot.close());

const notice = (
  nonce: string,
  change: Partial<OutgoingMessage['reply']> = {},
): OutgoingMessage => ({
  nonce,
  nowMs: 0,
  trip: 'trip0007',
  reply: {
    lines: [['Overdue: ', { text: 'Dana', userId: '900000000000000001' }, ' @everyone']],
    buttons: [{ label: 'I have it', press: { path: 'post done', options: { number: 4 } } }],
    ...change,
  },
});

describe('a message nobody asked for', () => {
  it('goes to a channel and says where it went', async () => {
    const { chat, wall, stand } = bot;
    const sent = await chat.outgoing.toChannel(wall.id, notice('n-1'));
    const message = wall.messages.at(-1);
    expect(sent).toEqual({ ok: true, value: { channel: wall.id, message: message?.id } });
    expect(message).toMatchObject({ content: 'Overdue: Dana \\@everyone', nonce: 'n-1' });
    expect(message?.pings.users).toEqual([]);
    expect(stand.notified(bot.dana)).toEqual([]);
  });

  it('pings whom it names and nobody else', async () => {
    const { chat, wall, stand, dana } = bot;
    await chat.outgoing.toChannel(wall.id, notice('n-2', { pings: [dana.id] }));
    expect(stand.notified(dana).at(-1)?.content).toBe(`Overdue: <@${dana.id}> \\@everyone`);
    const requests = stand.journal.of('request').filter((r) => r.route === SEND);
    expect(requests.at(-1)?.body).toMatchObject({
      allowed_mentions: { parse: [], users: [dana.id] },
    });
  });

  it('keeps its trip, so that its buttons act on it from a direct message', async () => {
    const { chat, stand, dana, calls } = bot;
    const sent = await chat.outgoing.toUser(dana.id, notice('n-3'));
    const [message] = stand.sees(dana, stand.dm(dana));
    expect(sent).toMatchObject({ ok: true, value: { message: message?.id } });
    if (message === undefined) throw new Error('nothing came');
    const answer = await stand.press(dana, message, 'I have it');
    expect(calls.at(-1)?.call.trip).toBe('trip0007');
    await stand.press(dana, answer, 'Undo');
    expect(calls.at(-1)).toMatchObject({ call: { trip: 'trip0007' }, args: { entry: 'p4' } });
  });

  it('is seen once though it is sent twice with one nonce', async () => {
    const { chat, wall } = bot;
    const first = await chat.outgoing.toChannel(wall.id, notice('n-4'));
    const second = await chat.outgoing.toChannel(wall.id, notice('n-4'));
    expect(second).toEqual(first);
    expect(wall.messages.filter((m) => m.nonce === 'n-4')).toHaveLength(1);
  });

  it('is seen once though its acceptance was lost on the way', async () => {
    const { chat, wall, stand } = bot;
    stand.faults.add({ route: SEND, fault: { what: 'status', status: 502, accepted: true } });
    expect(await chat.outgoing.toChannel(wall.id, notice('n-5'))).toMatchObject({ ok: true });
    expect(wall.messages.filter((m) => m.nonce === 'n-5')).toHaveLength(1);
  });

  it.each([
    ['gone', 'unknown-channel'],
    ['no-access', 'no-access'],
    ['no-permission', 'no-permission'],
    ['archived', 'thread-archived'],
    ['locked', 'thread-locked'],
  ] as const)('goes another way when the channel is %s', async (trouble, why) => {
    const { chat, wall, stand } = bot;
    stand.trouble(wall, trouble);
    const sent = await chat.outgoing.toChannel(wall.id, notice('n-6'));
    expect(sent).toEqual({ ok: false, error: { why, retry: 'never', fallback: 'other-way' } });
  });

  it('goes another way when direct messages are closed', async () => {
    const { chat, dana } = bot;
    dana.dmClosed = true;
    const sent = await chat.outgoing.toUser(dana.id, notice('n-7'));
    expect(sent).toMatchObject({
      ok: false,
      error: { why: 'direct-messages-closed', fallback: 'other-way' },
    });
  });

  it('opens a person’s direct message once, and anew when it is gone', async () => {
    const { chat, dana, stand } = bot;
    const opened = () =>
      stand.journal.of('request').filter((r) => r.route === 'POST /users/@me/channels').length;
    await chat.outgoing.toUser(dana.id, notice('n-70'));
    const before = opened();
    await chat.outgoing.toUser(dana.id, notice('n-71'));
    await chat.outgoing.toUser(dana.id, notice('n-72'));
    expect(opened()).toBe(before);
    stand.faults.add({ route: SEND, fault: { what: 'code', status: 404, code: 10003 } });
    expect(await chat.outgoing.toUser(dana.id, notice('n-73'))).toMatchObject({ ok: true });
    expect(opened()).toBe(before + 1);
  });

  it('is to be tried later when Discord is down or cut off', async () => {
    const { chat, wall, stand } = bot;
    stand.faults.add({ route: SEND, times: 9, fault: { what: 'status', status: 503 } });
    expect(await chat.outgoing.toChannel(wall.id, notice('n-8'))).toMatchObject({
      ok: false,
      error: { why: 'server-error', retry: 'later' },
    });
    stand.faults.clear();
    stand.faults.add({ route: SEND, times: 9, fault: { what: 'reset' } });
    expect(await chat.outgoing.toChannel(wall.id, notice('n-9'))).toMatchObject({
      ok: false,
      error: { why: 'network', retry: 'later' },
    });
  });

  it('stays one message however long it is', async () => {
    const { chat, wall } = bot;
    const lines = Array.from({ length: 80 }, (_, i) => `Line ${i} of a sheet that goes on and on.`);
    const before = wall.messages.length;
    await chat.outgoing.toChannel(wall.id, notice('n-10', { lines }));
    expect(wall.messages.length).toBe(before + 1);
    expect(wall.messages.at(-1)?.files[0]?.attachment.filename).toBe('answer.txt');
  });
});

describe('the board', () => {
  it('is sent, pinned, changed with its picture, looked for and taken away', async () => {
    const { chat, wall, stand } = bot;
    const picture = (name: string) => [
      { name, mime: 'image/png', bytes: new Uint8Array([1, 2, 3]), alt: 'The wall' },
    ];
    const sent = await chat.outgoing.toChannel(wall.id, notice('b-1', { files: picture('a.png') }));
    if (!sent.ok) throw new Error('not sent');
    const place = sent.value;
    expect(await chat.outgoing.pin(place)).toEqual({ ok: true, value: true });
    const changed = { ...notice('', { lines: ['Pitch 6'], files: picture('b.png') }) };
    expect(await chat.outgoing.edit(place, changed)).toEqual({ ok: true, value: place });
    const there = await chat.outgoing.fetch(place);
    expect(there).toMatchObject({ ok: true, value: { id: place.message, content: 'Pitch 6' } });
    const message = stand.core.world.messages.get(place.message);
    expect(message?.pinnedAtMs).toBeDefined();
    expect(message?.files.map((f) => f.attachment.filename)).toEqual(['b.png']);
    expect(message?.files[0]?.attachment.description).toBe('The wall');
    expect(await chat.outgoing.remove(place)).toEqual({ ok: true, value: true });
    expect(await chat.outgoing.fetch(place)).toEqual({ ok: true, value: undefined });
    const lost = await chat.outgoing.edit(place, changed);
    expect(lost).toMatchObject({ ok: false, error: { fallback: 'new-message' } });
  });
});
