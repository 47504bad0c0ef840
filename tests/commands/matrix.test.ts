/**
 * Every subcommand by every role in every mode does what the README's appendix says, which is made from the
 * definitions. OWASP ASVS 5.0: V8.1.1 (rules of access documented), V8.2.1 (functions for who is permitted),
 * V8.3.1 (held where it can't be got round).
 */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { findSub, type OptionDef, type RawArgs, type RawValue } from '../../src/app/command.ts';
import { ROLES, type RoleName, rightsOf, rightsTable } from '../../src/app/rights.ts';
import { LONG } from '../helpers/long.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { ask } from './ask.ts';

const readme = readFileSync(new URL('../../README.md', import.meta.url), 'utf8');

test('ASVS V8.1.1: the README’s appendix is what the definitions say', () => {
  expect(readme).toContain(`\n${rightsTable(commands)}\n`);
});

const WHO: Record<RoleName, { user: string; manager?: boolean }> = {
  stranger: { user: 'local:stray' },
  climber: { user: 'local:jonas' },
  'ground crew': { user: 'local:greta' },
  contact: { user: 'local:dana' },
  opener: { user: 'local:mara' },
  manager: { user: 'local:boss', manager: true },
};
const MODES: readonly (readonly [string, readonly string[]])[] = [
  ['preparing', []],
  ['climbing', ['/trip depart', '/pitch done number:1']],
  ['settled', ['/trip depart', '/pitch done number:1', '/bivy settle']],
  ['retreating', ['/trip depart', '/pitch done number:1', '/retreat begin']],
  ['down', ['/trip depart', '/trip down', '[Yes, everyone is down]']],
];
/** The modes tried by `npm test`; the others by its long form. */
const SHORT = ['climbing', 'down'];
/** Those of whom nothing is on the trip: what they may not do is refused by these words. */
const REFUSED = ['not-on-roster', 'not-the-wall', 'not-the-opener'];
/** What would end the scene: asked last of all, by the test below. */
const ENDS = ['trip close', 'trip purge', 'trip open'];

/** A value that every needed option takes, whatever the command makes of it. */
function needed(options: Readonly<Record<string, OptionDef>>): RawArgs {
  const value = (def: OptionDef): RawValue => {
    if ('choices' in def && def.choices !== undefined) return def.choices[0]?.value ?? '';
    if (def.type === 'boolean') return true;
    if (def.type === 'user') return { id: '1', name: 'x' };
    if (def.type === 'string') return 'heard by radio';
    if (def.type === 'file') return { name: 'x', size: 1, bytes: async () => new Uint8Array([65]) };
    return (def as { min?: number }).min ?? 1;
  };
  const must = Object.entries(options).filter(([, def]) => def.required === true);
  return Object.fromEntries(must.map(([name, def]) => [name, value(def)]));
}

async function scene(lines: readonly string[]): Promise<World> {
  const w = await world();
  await openDemo(w);
  for (const line of lines) await w.say('mara', line);
  return w;
}

test.each(LONG ? MODES : MODES.filter(([mode]) => SHORT.includes(mode)))(
  'ASVS V8.2.1, V8.3.1: %s',
  async (mode, lines) => {
    const w = await scene(lines);
    const { channel, id } = (await w.trip()).row;
    const wrong: string[] = [];
    for (const { path, rights } of rightsOf(commands)) {
      if (ENDS.includes(path)) continue;
      // What strangers may do, everybody may; it is answered in one mode for all.
      if (rights.stranger === 'yes' && mode !== 'climbing') continue;
      const args = needed(findSub(commands, path)?.options ?? {});
      // Those who may not go first, so that nobody's doing changes what is asked of the next.
      for (const role of [...ROLES].sort((a, b) => rights[a].localeCompare(rights[b]))) {
        if (rights[role] === 'yes' && rights.stranger === 'yes' && role !== 'stranger') continue;
        const before = (await w.store.trip(id))?.seq;
        const { code } = await ask(w, { ...WHO[role], channel }, path, args);
        const refused = REFUSED.includes(code ?? '');
        if (refused !== (rights[role] !== 'yes')) wrong.push(`${role} /${path}: ${code}`);
        if (refused && (await w.store.trip(id))?.seq !== before) wrong.push(`${path} was recorded`);
      }
    }
    expect(wrong).toEqual([]);
    await w.close();
  },
);

test('ASVS V8.2.2, V8.4.1: managers end trips of their own server, and no other', async () => {
  const w = await world();
  const boss = { user: 'boss', manager: true };
  const here = { channel: 'c-1', guild: 'g-1' };
  const opened = await ask(w, { user: 'mallory', ...here }, 'trip open', {
    name: 'Squat',
    zone: 'Europe/Oslo',
  });
  expect(opened.refused).toBeUndefined();
  const trip = opened.trip as string;
  const elsewhere = { ...boss, channel: 'c-9', guild: 'g-9', trip };
  expect((await ask(w, elsewhere, 'trip close')).code).toBe('not-on-roster');
  expect((await ask(w, { user: 'stray', ...here }, 'trip close')).code).toBe('not-on-roster');
  expect((await ask(w, { ...boss, ...here }, 'pitch done')).code).toBe('not-on-roster');
  expect((await ask(w, { ...boss, ...here }, 'log export')).code).toBe('not-on-roster');
  expect((await ask(w, { ...boss, ...here }, 'trip close')).refused).toBeUndefined();
  expect((await ask(w, { user: 'stray', ...here }, 'trip purge')).code).toBe('not-on-roster');
  const sure = { sure: trip };
  expect((await ask(w, { ...boss, ...here }, 'trip purge', sure)).refused).toBeUndefined();
  expect((await w.store.trip(trip))?.status).toBe('purged');
  await w.close();
});

test('ASVS V8.2.2: a manager evicts a trip by one command, but no party that is out', async () => {
  const w = await world();
  const here = { channel: 'c-1', guild: 'g-1' };
  const boss = { user: 'boss', manager: true, ...here };
  const open = async () =>
    (
      await ask(w, { user: 'mallory', ...here }, 'trip open', {
        name: 'Squat',
        zone: 'Europe/Oslo',
      })
    ).trip as string;
  const squat = await open();
  const asked = await ask(w, boss, 'trip purge');
  expect(text(asked)).toMatch(/^Close and erase Squat: 1 entries/u);
  expect((await w.store.trip(squat))?.status).toBe('open');
  const [button] = asked.buttons ?? [];
  const gone = await ask(w, boss, 'trip purge', button?.press.options as { sure: string });
  expect(text(gone)).toContain('Erased. Nothing of that trip is kept.');
  expect((await w.store.trip(squat))?.status).toBe('purged');
  // A party that is out loses its watch by closing, which is asked back and told to who waits.
  const out = await open();
  await ask(w, { user: 'mallory', ...here }, 'roster add', { name: 'Mallory' });
  await ask(w, { user: 'mallory', ...here }, 'trip depart');
  expect((await ask(w, boss, 'trip purge', { sure: out })).code).toBe('watch-would-end');
  expect((await w.store.trip(out))?.status).toBe('open');
  await w.close();
});
