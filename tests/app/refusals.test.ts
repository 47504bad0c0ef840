import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { jsonLine } from '../../src/chat/local/print.ts';
import { speaker } from '../../src/chat/local/speaker.ts';
import { openDemo, type World, world, ZONE } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

/** The log's entries, in order. */
const entries = () => w.logged.map((line) => JSON.parse(line) as Record<string, unknown>);

describe('a refusal has its code in the answer, in JSON lines and in the log', () => {
  it.each([
    ['by a rule', 'mara', '/pitch done number:50', 'no-such-pitch', 'pitch done'],
    ['by a command', 'mara', '/trip edit', 'nothing-to-change', 'trip edit'],
    ['by the way in', 'eve', '/trip depart', 'not-on-roster', 'trip depart'],
    ['by its options', 'mara', '/pitch done number:0', 'unreadable-options', 'pitch done'],
  ])('%s', async (_, who, line, code, path) => {
    const reply = await w.say(who, line);
    expect(reply).toMatchObject({ refused: true, code });
    const entry = { kind: 'answer', atMs: 0, who: speaker(who)!, said: line, reply } as const;
    expect(JSON.parse(jsonLine(entry, ZONE))).toMatchObject({ refused: true, code });
    expect(entries().at(-1)).toMatchObject({ msg: 'refused', code, path });
  });

  it('a fault of ours too', async () => {
    w.store.openTripIn = () => Promise.reject(new Error('boom'));
    expect(await w.say('mara', '/topout')).toMatchObject({ refused: true, code: 'fault' });
    expect(entries()).toContainEqual(
      expect.objectContaining({ msg: 'command failed', path: 'topout' }),
    );
  });

  it('an answer that does something has none', async () => {
    const reply = await w.say('mara', '/trip depart');
    expect(reply.code).toBeUndefined();
    const entry = { kind: 'answer', atMs: 0, who: speaker('mara')!, said: '', reply } as const;
    expect(JSON.parse(jsonLine(entry, ZONE))).not.toHaveProperty('code');
  });
});
