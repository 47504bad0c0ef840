/**
 * A stranger who would have the bot write to people: one after the other as fast as the commands go, on many trips,
 * by several accounts, over half a day, to one address, with words of their own. OWASP ASVS 5.0, V2.4.1 (against
 * automation), V1.3 (words of strangers). The bounds are ours: `RATES` in src/limits.ts.
 */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { mailOf } from '../../src/delivery/mail-message.ts';
import { RATES } from '../../src/limits.ts';
import type { Reply } from '../../src/say/reply.ts';
import { ask } from '../commands/ask.ts';
import { type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

const MALLORY = '666000000000000001';
const BAIT = 'WIN A PHONE at https://evil.example/x';

let count = 0;
interface Who {
  user?: string;
  guild?: string;
  channel: string;
}
const as = ({ user = MALLORY, guild = 'g-1', channel }: Who, path: string, raw: object) =>
  ask(w, { user, name: 'Mallory', guild, channel }, path, raw as Record<string, string>);
const open = (who: Who, name = 'A climb') => as(who, 'trip open', { name, zone: 'Europe/Oslo' });
const add = (who: Who, more: object = {}): Promise<Reply> => {
  const n = ++count;
  const fresh = { name: `Person ${n}`, role: 'contact', email: `p${n}@example.org`, ways: 'email' };
  return as(who, 'roster add', { ...fresh, ...more });
};
const mails = () => w.told.filter((t) => t.way === 'email');

test('thirty-eight at once: no more than one person may ask for in a day, and kindly refused beyond it', async () => {
  const who = { channel: 'c-1' };
  await open(who);
  const replies: Reply[] = [];
  for (let n = 0; n < 38; n++) replies.push(await add(who));
  await w.tick();
  expect(mails()).toHaveLength(RATES.invited.most);
  const refused = replies.filter((r) => r.refused === true);
  expect(refused.length).toBeGreaterThanOrEqual(38 - RATES.invited.most);
  expect(new Set(refused.map((r) => r.code))).toEqual(new Set(['too-often']));
});

test('over half a day, by twenty accounts of one server, on as many trips: no more than the server may ask for', async () => {
  for (let hour = 0; hour < 12; hour++) {
    w.at(`2031-06-12 ${String(6 + hour).padStart(2, '0')}:10`);
    for (let a = 0; a < 20; a++) {
      const who = { user: `66600000000000${1000 + a}`, channel: `c-${a}` };
      if (hour === 0) await open(who);
      for (let n = 0; n < 3; n++) await add(who);
    }
    await w.tick();
  }
  expect(mails()).toHaveLength(RATES.invitedHere.most);
  // Closed and opened anew, they start with what is left.
  const again = { channel: 'c-99' };
  await open(again);
  expect((await add(again)).code).toBe('too-often');
});

test('by many servers: no more than the whole bot sends in a day', async () => {
  for (let server = 0; server < 60; server++) {
    const who = {
      user: `6660000000000${20_000 + server}`,
      guild: `g-${server}`,
      channel: `d-${server}`,
    };
    await open(who);
    for (let n = 0; n < 10; n++) await add(who);
  }
  await w.tick();
  expect(mails()).toHaveLength(RATES.invitedAll.most);
});

test('one address is asked three times a day, whoever asks, and through a restart', async () => {
  for (let server = 0; server < 8; server++) {
    const who = {
      user: `6660000000000${30_000 + server}`,
      guild: `e-${server}`,
      channel: `e-${server}`,
    };
    await open(who);
    await add(who, { email: server % 2 === 0 ? 'victim@example.org' : 'Victim@Example.org' });
  }
  await w.tick();
  expect(mails().length).toBeLessThanOrEqual(RATES.invitedAddress.most);
});

test('who said no is asked by nobody again, on no server', async () => {
  const first = { channel: 'c-1' };
  await open(first);
  await add(first, { email: 'victim@example.org' });
  await w.tick();
  const { code } = mails()[0]?.envelope.asked ?? {};
  const no = { answer: 'no', for: `Person ${count}`, code };
  await as(first, 'checkin contact', no);
  w.told.length = 0;
  w.at('2031-07-20 06:10');
  for (let server = 0; server < 5; server++) {
    const who = {
      user: `6660000000000${40_000 + server}`,
      guild: `f-${server}`,
      channel: `f-${server}`,
    };
    await open(who);
    await add(who, { email: 'victim@example.org' });
    await as(who, 'checkin contact', { answer: 'again', for: `Person ${count}` });
  }
  await w.tick();
  expect(mails()).toEqual([]);
});

test('what it says is ours: of their words there are the names, cleaned', async () => {
  const who = { channel: 'c-1' };
  await open(who, BAIT);
  await add(who, { name: BAIT.slice(0, 60), clothing: BAIT });
  await as(who, 'trip edit', { approach: BAIT });
  await w.tick();
  const [one] = mails();
  if (one === undefined) throw new Error('nothing came');
  const mail = mailOf(
    { from: 'tagline <watch@example.org>' },
    { address: 'p@example.org', name: '' },
    one.envelope,
  );
  expect(`${mail.subject}\n${mail.text}`).not.toMatch(/https?:|evil\.example/u);
  expect(mail.subject).not.toContain('WIN');
});
