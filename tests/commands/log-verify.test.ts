/** A record is evidence: it says whether it is as it was told, and where it comes from. */
import { createHash } from 'node:crypto';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { App } from '../../src/app/app.ts';
import type { FileArg } from '../../src/app/command.ts';
import { followChain } from '../../src/record/chain.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { SealedFact } from '../../src/store/seal.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { ask } from './ask.ts';

const MARA = { user: 'local:mara', name: 'Mara' };
let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('jonas', '/pitch done number:1');
});
afterEach(() => w.close());

async function exported(): Promise<string> {
  const { files = [] } = await w.say('mara', '/log export');
  return new TextDecoder().decode(files[0]?.bytes);
}

function file(jsonl: string): FileArg {
  const bytes = new TextEncoder().encode(jsonl);
  return { name: 'r.jsonl', size: bytes.length, bytes: async () => bytes };
}

async function bringIn(jsonl: string, channel = 'c-2') {
  return ask(w, { ...MARA, channel }, 'trip open', { record: file(jsonl) });
}

test('/log verify and the export say that the chain holds, with digits to be noted', async () => {
  const said = text(await w.say('stray', '/log verify'));
  expect(said).toMatch(/^The chain holds: no entry was altered.*Entry \d+: ([0-9a-f]{4} ?){4}\.\n/);
  const digits = said.match(/Entry \d+: [0-9a-f ]+/)?.[0] as string;
  expect(text(await w.say('mara', '/log export'))).toContain(digits);
});

/**
 * The algorithm as DEVELOPERS.md describes it, written anew: SHA-256 of canonical JSON (RFC 8785). Names are sorted by
 * code units and nothing is indented; that is what `JSON.stringify` makes of sorted objects of well-formed text.
 */
test('the export can be checked without tagline', async () => {
  const sorted = (v: unknown): unknown =>
    Array.isArray(v)
      ? v.map(sorted)
      : typeof v === 'object' && v !== null
        ? Object.fromEntries(
            Object.entries(v)
              .sort(([a], [b]) => (a < b ? -1 : 1))
              .map(([k, x]) => [k, sorted(x)]),
          )
        : v;
  const sha = (v: object) =>
    createHash('sha256')
      .update(JSON.stringify(sorted(v)))
      .digest('hex');
  let prev = '';
  const lines = (await exported()).trimEnd().split('\n');
  for (const line of lines) {
    const { salt, content, hash, by_id, by_name, typed, data, ...head } = JSON.parse(line);
    const told = { by_id, by_name, data, salt, ...(typed === undefined ? {} : { typed }) };
    expect(sha(told)).toBe(content);
    expect(sha({ ...head, content, prev })).toBe(hash);
    prev = hash;
  }
  expect(lines.length).toBe(9);
});

/** What /log verify says after a start on a file whose entries were changed by hand. */
async function verified(change: (entries: SealedFact[]) => SealedFact[]): Promise<string> {
  const { row, state } = await w.trip();
  const entries = change(await w.store.sealed(row.id));
  const store = { ...w.store, sealed: async () => entries };
  const read = async () => ({ row, state: { ...state, seq: entries.at(-1)?.seq ?? 0 } });
  const forged = { ...w.app, store, records: { read } } as unknown as App;
  const verify = w.app.commands.find((c) => c.name === 'log')?.subs?.verify;
  const call = { id: 'v', atMs: w.clock.wallMs(), actor: { id: 'x', name: 'x' } };
  const where = { channel: row.channel, direct: false };
  return text((await verify?.run({ ...call, where }, {} as never, forged)) as Reply);
}

test.each<[what: string, change: (entries: SealedFact[]) => SealedFact[], said: string]>([
  [
    'a time',
    (all) => all.map((e) => (e.seq === 7 ? { ...e, atMs: e.atMs - 3_600_000 } : e)),
    'entry 7 is not what was told',
  ],
  [
    'an author',
    (all) => all.map((e) => (e.seq === 7 ? { ...e, by: { ...e.by, name: 'Dana' } } : e)),
    'entry 7 is not what was told',
  ],
  ['an entry cut out', (all) => all.filter((e) => e.seq !== 7), 'entry 7 is missing'],
  ['the last entry cut off', (all) => all.slice(0, -1), 'entry 9 is missing'],
  [
    'two entries changing places',
    (all) =>
      all.map((e) => ({ ...e, seq: { 6: 7, 7: 6 }[e.seq] ?? e.seq })).sort((a, b) => a.seq - b.seq),
    'entry 6 is not what was told',
  ],
])('%s, changed in the file of the database, is named', async (_, change, said) => {
  expect(await verified(change)).toContain(`The chain is broken: ${said}`);
});

test('imported entries say so in the log, on the sheet, in the debrief, in the export and by their authors', async () => {
  await bringIn(await exported());
  const there = { ...MARA, channel: 'c-2' };
  for (const path of ['log show', 'log verify', 'trip debrief', 'overdue sheet']) {
    const said = text(await ask(w, there, path));
    expect([path, said]).toEqual([
      path,
      expect.stringContaining('came from a file that Mara brought in'),
    ]);
  }
  expect(text(await ask(w, there, 'log show'))).toContain('Jonas, imported');
  const { files = [] } = await ask(w, there, 'log export');
  const again = new TextDecoder().decode(files[0]?.bytes);
  expect(again).toContain('"by_id":"imported:local:jonas","by_name":"Jonas, imported"');
  // Brought in once more it is marked once.
  await bringIn(again, 'c-3');
  const third = await w.store.sealed((await w.store.openTripIn('c-3'))?.id as string);
  expect(new Set(third.map((e) => e.by.name))).toContain('Jonas, imported');
  expect(third.map((e) => e.by.name).join()).not.toContain('imported, imported');
  expect(await followChain(third, third.length)).toMatchObject({ holds: true });
});

test('an imported entry can’t pose as the bot’s, nor as the opener’s', async () => {
  const forged = (await exported())
    .trimEnd()
    .split('\n')
    .map((line) => {
      const { salt: _s, content: _c, hash: _h, ...entry } = JSON.parse(line);
      const by =
        entry.seq === 1 ? { by_id: 'local:ines' } : { by_id: 'tagline', by_name: 'tagline' };
      return `${JSON.stringify({ ...entry, ...by })}\n`;
    })
    .join('');
  await bringIn(forged);
  const row = await w.store.openTripIn('c-2');
  const { state } = await w.app.records.read(row as never);
  const end = state.entries.findIndex((e) => e.event.kind === 'log.imported');
  const names = state.entries.slice(0, end).map((e) => e.event.by);
  expect(names.length).toBeGreaterThan(3);
  expect(names.every((by) => by.id.startsWith('imported:') && by.name.endsWith(', imported'))).toBe(
    true,
  );
  // Whoever brought it in answers for it, and may erase it.
  expect(state.openedBy.id).toBe('local:mara');
  const said = text(await ask(w, { ...MARA, channel: 'c-2' }, 'log verify'));
  expect(said).toContain('The file had no chain to check them by.');
});

test.each([
  [
    'altered',
    (lines: string[]) =>
      lines.map((l, i) => (i === 4 ? l.replace('"at":"2031-06-1', '"at":"2031-05-1') : l)),
    5,
  ],
  [
    'its seal taken off',
    (lines: string[]) => lines.map((l, i) => (i === 3 ? l.replace(/,"salt".*}$/, '}') : l)),
    4,
  ],
] as const)(
  'a file with an entry %s comes in, and says that its chain did not hold',
  async (_, damage, from) => {
    const lines = (await exported()).trimEnd().split('\n');
    const reply = text(await bringIn(`${damage(lines).join('\n')}\n`));
    expect(reply).toContain(`Their chain did not hold in the file, from entry ${from} on.`);
  },
);
