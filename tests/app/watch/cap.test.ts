/**
 * CAP messages of one trip from the first to the cancel, as a receiver reads them. OASIS CAP 1.2, section
 * 3.2.1: sender, identifier and sent together name a message; an Update or a Cancel gives those of the
 * earlier ones in `references`, separated by whitespace.
 */
import { beforeEach, expect, it, onTestFinished } from 'vitest';
import { installation } from '../../../src/app/installation.ts';
import { randomIds } from '../../../src/system/ids.ts';
import { checked, one } from '../../helpers/cap.ts';
import { openDemo, type World, world } from '../../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  onTestFinished(() => w.close());
  await openDemo(w);
});

interface Read {
  name: string;
  type: string | undefined;
  status: string | undefined;
  references: string[];
  sender: string | undefined;
  xml: string;
}

async function issue(who = 'dana'): Promise<Read> {
  const reply = await w.say(who, '/overdue sheet as:cap');
  const xml = new TextDecoder().decode(reply.files?.[0]?.bytes);
  const alert = checked(xml);
  const sender = one(alert, 'sender');
  return {
    name: [sender, one(alert, 'identifier'), one(alert, 'sent')].join(','),
    type: one(alert, 'msgType'),
    status: one(alert, 'status'),
    references: one(alert, 'references')?.split(/\s+/u) ?? [],
    sender,
    xml,
  };
}

async function until(local: string): Promise<void> {
  w.at(local);
  await w.tick();
}

async function overdue(): Promise<void> {
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan down:20:00');
  await until('2031-06-12 22:10');
}

it('are updated with references while the alarm stands, and cancelled when it is over', async () => {
  const trial = await issue();
  expect([trial.status, trial.type, trial.references]).toEqual(['Test', 'Alert', []]);
  await overdue();
  const first = await issue();
  // Nobody acts on a trial, so nothing refers to it.
  expect([first.status, first.type, first.references]).toEqual(['Actual', 'Alert', []]);
  await w.say('greta', '/overdue details vehicle:"green van"');
  const second = await issue();
  expect([second.type, second.references]).toEqual(['Update', [first.name]]);
  await w.say('greta', '/overdue details food:"two days"');
  const third = await issue('greta');
  expect([third.type, third.references]).toEqual(['Update', [first.name, second.name]]);
  await w.say('mara', '/trip down');
  await w.say('mara', '[Yes, everyone is down]');
  const over = await issue();
  const all = [first.name, second.name, third.name];
  expect([over.status, over.type, over.references]).toEqual(['Actual', 'Cancel', all]);
  // It may get lost: another one is about the same.
  await w.say('mara', '/overdue details vehicle:"red van"');
  const again = await issue('greta');
  expect([again.type, again.references]).toEqual(['Cancel', all]);
  const names = [trial, first, second, third, over, again].map((m) => m.name);
  expect(new Set(names).size).toBe(names.length);
});

it('are the same message when nothing has happened in between', async () => {
  await overdue();
  const first = await issue();
  w.clock.advance(60_000);
  expect((await issue()).xml).toBe(first.xml);
  expect((await issue('greta')).xml).toBe(first.xml);
  const opened = (await w.trip()).history.filter((f) => f.kind === 'watch.sheet');
  expect(opened.map((f) => f.by.name)).toEqual(['Dana', 'Dana', 'Greta']);
});

it('begin anew with the next alarm after a cancel', async () => {
  await overdue();
  await issue();
  await w.say('mara', '/checkin ok');
  expect((await issue()).type).toBe('Cancel');
  await w.say('mara', '/checkin plan down:23:30');
  await until('2031-06-13 01:00');
  const next = await issue();
  expect([next.type, next.references]).toEqual(['Alert', []]);
});

it('name the installation, so that two of them never name a message alike', async () => {
  const other = await world();
  onTestFinished(() => other.close());
  const ids = randomIds();
  const [here, there] = [
    await installation({ store: w.store, ids }),
    await installation({ store: other.store, ids }),
  ];
  expect(here).not.toBe(there);
  expect(await installation({ store: w.store, ids })).toBe(here);
  expect((await issue()).sender).toBe(`tagline-${here}`);
  expect((await issue('greta')).sender).toBe(`tagline-${here}`);
});
