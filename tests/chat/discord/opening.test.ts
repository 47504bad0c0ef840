import type { REST } from 'discord.js';
import { expect, test } from 'vitest';
import { createOutgoing } from '../../../src/chat/discord/outgoing.ts';
import { renderReply } from '../../../src/chat/discord/render.ts';

/** A client of the library that notes what was asked; openings are answered when they are let go. */
function client(name: string, asked: string[]) {
  const waiting: (() => void)[] = [];
  const post = async (route: string, { body }: { body: { recipient_id?: string } }) => {
    asked.push(`${name} ${route}`);
    if (body.recipient_id === undefined) return { id: 'm1' };
    await new Promise<void>((go) => waiting.push(go));
    return { id: `dm-${body.recipient_id}` };
  };
  return { rest: { post } as unknown as REST, waiting };
}

test('direct messages are opened side by side, and each channel once', async () => {
  const asked: string[] = [];
  const [main, one, two] = ['main', 'one', 'two'].map((name) => client(name, asked));
  if (main === undefined || one === undefined || two === undefined) throw new Error('three');
  const surface = { render: async (...a: Parameters<typeof renderReply>) => renderReply(...a) };
  const outgoing = createOutgoing(main.rest, surface, [one.rest, two.rest]);
  const send = (user: string) =>
    outgoing.toUser(user, { reply: { lines: ['Well?'] }, nonce: user, nowMs: 0, trip: 't' });
  const sending = ['1', '2', '3'].map(send);
  await new Promise(setImmediate);
  // None waits for the one before it.
  expect(asked).toEqual(['one', 'two', 'one'].map((name) => `${name} /users/@me/channels`));
  for (const go of [...one.waiting, ...two.waiting]) go();
  expect((await Promise.all(sending)).every((sent) => sent.ok)).toBe(true);
  asked.length = 0;
  await send('2');
  expect(asked).toEqual(['main /channels/dm-2/messages']);
});
