/** Who may open trips on a server. OWASP ASVS 5.0, V8.2.1 (functions for who is permitted), V8.2.2 (their own server only). */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { type World, world } from '../helpers/world.ts';
import { type Ask, ask } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

let n = 0;
/** Opens a trip in a channel of its own; the code of the refusal, if any. */
async function opens(from: Ask): Promise<string | undefined> {
  n += 1;
  const at = { guild: 'g-1', channel: `c-${n}`, ...from };
  const reply = await ask(w, at, 'trip open', { name: 'Wall', zone: 'Europe/Oslo' });
  return reply.code;
}

const BOSS = { user: 'boss', manager: true, guild: 'g-1' };
const MODERATOR = { user: 'mod', moderator: true };
const STRAY = { user: 'stray' };
const set = (who: string, from: Ask = BOSS) => ask(w, from, 'trip openers', { who });

test('ASVS V8.2.1: everyone who may write there, until the managers say otherwise', async () => {
  expect(await opens(STRAY)).toBeUndefined();
  expect(await opens({ ...STRAY, silent: true })).toBe('may-not-open');
  await set('moderators');
  expect([await opens(STRAY), await opens(MODERATOR), await opens(BOSS)]).toEqual([
    'may-not-open',
    undefined,
    undefined,
  ]);
  await set('managers');
  expect([await opens(STRAY), await opens(MODERATOR), await opens(BOSS)]).toEqual([
    'may-not-open',
    'may-not-open',
    undefined,
  ]);
  await set('everyone');
  expect(await opens(STRAY)).toBeUndefined();
});

test('ASVS V8.2.2: only its managers say so, and for no other server', async () => {
  expect((await set('managers', { ...STRAY, guild: 'g-1' })).code).toBe('may-not-open');
  await set('managers');
  expect(await opens({ ...STRAY, guild: 'g-2' })).toBeUndefined();
  // In a direct message, and on the local channel, there is no server.
  const own = await ask(w, { user: 'x', channel: 'd-1' }, 'trip open', {
    name: 'W',
    zone: 'Europe/Oslo',
  });
  expect(own.refused).toBeUndefined();
});
