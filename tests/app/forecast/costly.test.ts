/**
 * A forecast that takes more than it may is refused in words, and takes nothing else with it: posts, the watch, the
 * board and pages go on without it. OWASP ASVS 5.0: V2.4.1 (no overuse of costly resources), V16.5.2 (what fails
 * beside a function doesn't end it).
 */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { viewBoard } from '../../../src/app/board/view.ts';
import { forecastCostly } from '../../../src/app/forecast/costly.ts';
import { KeptForecasts } from '../../../src/app/forecast/kept.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';

/** Put down, once this is set. */
let costly = false;
let w: World;
beforeEach(async () => {
  costly = false;
  const make = async () => {
    if (costly) throw forecastCostly();
    return undefined;
  };
  w = await world({ forecasts: new KeptForecasts(undefined, { make }) });
  await openDemo(w);
  costly = true;
});
afterEach(() => w.close());

test.each(['/topout', '/plan', '/schedule set', '/schedule show', '/cutoff show', '/decide'])(
  'ASVS V2.4.1: %s says so',
  async (line) => {
    await w.say('mara', '/trip depart');
    await w.say('mara', '/pitch start');
    const reply = await w.say('mara', line);
    expect([reply.code, text(reply)]).toEqual([
      'forecast-costly',
      expect.stringContaining('Posts and the watch go on without it'),
    ]);
  },
);

test('ASVS V2.4.1: every post goes in without it, and the watch, the board and the card of the weather go on', async () => {
  for (const line of [
    '/checkin plan once:19:00 down:22:00 callout:23:00',
    '/trip depart',
    '/trip pace party:efficient',
    '/trip pace figure:horizonMin value:30',
    '/weather set text:"rain 50% 14:00–16:00"',
    '/cutoff add kind:own at:"18:00" label:Tea',
    '/cutoff remove which:Tea',
    '/lead swap a:6 b:7',
    '[Swap them]',
    '/pitch start',
    '/pitch fixed',
    '/pitch done',
    '/pitch break wait:1h why:weather',
    '/topo edit number:2 bivy:"ledge 3"',
    '/bivy plan pitch:2',
    '/pitch done number:2',
    '/bivy settle',
    '/bivy leave',
    '/retreat begin',
    '/retreat rappel station:1',
    '/retreat stop',
    '/rain start',
    '/rain stop',
    '/checkin ok',
    '/topo edit number:3 length:40',
    '/trip edit descent_min:60',
  ]) {
    const before = (await w.trip()).row.seq;
    const reply = await w.say('mara', line);
    expect([line, reply.code, text(reply)]).toEqual([line, undefined, expect.anything()]);
    // A preview records nothing; its press does.
    if (!/lead swap/.test(line))
      expect([line, (await w.trip()).row.seq]).not.toEqual([line, before]);
    expect(text(reply)).not.toMatch(/no topo|No topo/);
    w.clock.advance(25 * 60_000);
  }
  expect(text(await w.say('greta', '/board'))).toContain('Harrow Tower');
  const { row } = await w.trip();
  expect((await viewBoard(w.app, row.id, w.clock.wallMs()))?.reply.lines).not.toHaveLength(0);
  w.at('2031-06-12 23:30');
  await w.tick();
  expect(w.told.some(({ to }) => to === 'Dana')).toBe(true);
  expect(w.logged.filter((line) => /command failed|"level":50/.test(line))).toEqual([]);
});
