import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { climb, tableWidth } from '../app/forecast/said.ts';
import { instant, openDemo, text, type World, world, ZONE } from '../helpers/world.ts';

const DAY = '2031-06-12';
let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await climb(w, DAY, [
    ['05:30', 'mara', '/trip edit haul_bag:yes descent_min:60 walk_km:11'],
    ['05:30', 'mara', '/cutoff add kind:weather at:"fri 21:00" label:Front'],
    ['05:30', 'mara', '/cutoff add kind:permit at:"sat 12:00" target:trailhead'],
  ]);
});
afterEach(() => w.close());

const plan = async () => (await w.trip()).state.schedule;
const at = (local: string) => instant(ZONE, local);
const set = () => w.say('mara', '/schedule set');
const show = async () => text(await w.say('mara', '/schedule show'));

describe('a schedule set', () => {
  it('freezes planned times on whole minutes, in order, and the confidence', async () => {
    await set();
    const { checkpoints, confidence, trailheadMs } = (await plan()) ?? {};
    expect(checkpoints?.map((c) => c.pitch)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
    expect(confidence).toBe(0.9);
    const planned = checkpoints?.map((c) => c.plannedMs) ?? [];
    expect(planned).toEqual([...planned].sort((a, b) => a - b));
    for (const ms of [...planned, trailheadMs]) expect((ms ?? 1) % 60_000).toBe(0);
    const frozen = await plan();
    await climb(w, DAY, [['10:00', 'greta', '/pitch done number:1']]);
    expect(await plan()).toEqual(frozen);
  });

  it('has latest times that grow along the route and end at what asks for them', async () => {
    await set();
    const latest = (await plan())?.checkpoints.map((c) => c.latestMs ?? Number.NaN) ?? [];
    expect(latest).toHaveLength(8);
    expect(latest).toEqual([...latest].sort((a, b) => a - b));
    // The last pitch done is the top, and the weather asks for the top.
    expect(latest.at(-1)).toBeLessThanOrEqual(at('2031-06-13 21:00'));
    expect(latest.at(-1)).toBeGreaterThan(at('2031-06-13 20:58'));
  });

  it('asks no later times for a higher confidence, and none at all without a cutoff', async () => {
    await set();
    const at90 = (await plan())?.checkpoints ?? [];
    await w.say('mara', '/trip edit confidence:75');
    await set();
    const at75 = (await plan())?.checkpoints ?? [];
    at90.forEach((c, i) => {
      expect(at75[i]?.latestMs).toBeGreaterThanOrEqual(c.latestMs as number);
    });
    await w.say('mara', '/cutoff remove which:Front');
    await w.say('mara', '/cutoff remove which:Permit');
    const reply = await set();
    expect(text(reply)).toContain('Nothing binds, so there are no latest times: /cutoff add.');
    expect((await plan())?.checkpoints.every((c) => c.latestMs === undefined)).toBe(true);
  });

  it('a cutoff out of reach takes no latest time from the others, and says so', async () => {
    await set();
    const without = (await plan())?.checkpoints.map((c) => c.latestMs);
    await w.say('mara', '/cutoff add kind:own at:08:00 pitch:4 label:Supper');
    const reply = await set();
    expect(text(reply)).toContain('Supper is more likely missed than met.');
    expect((await plan())?.checkpoints.map((c) => c.latestMs)).toEqual(without);
  });

  it('one that is likely, but less than asked, gets times for the chance that can be had', async () => {
    await w.say('mara', '/trip edit confidence:99');
    await w.say('mara', '/trip pace party:average');
    const { state } = await w.trip();
    const own = await w.say('mara', '/cutoff add kind:own at:23:30 label:Supper');
    expect(text(own)).toMatch(/Supper 23:30: (4 in 5|9 in 10|3 in 4|19 in 20)/);
    const reply = await set();
    expect(text(reply)).toMatch(
      /Latest times keep .*Supper at (?:2 in 3|3 in 4|4 in 5|9 in 10) and the others at 99 %\./,
    );
    const first = (await plan())?.checkpoints[0];
    expect(first?.latestMs).toBeGreaterThan(first?.plannedMs as number);
    expect(state.cutoffs).toHaveLength(2);
  });

  it('again keeps the old one in the record, and Undo brings it back', async () => {
    await set();
    const first = await plan();
    await climb(w, DAY, [['09:30', 'greta', '/pitch done number:1 at:09:00']]);
    const reply = await set();
    expect(text(reply)).toContain(
      `Schedule revised; the one before stays in the record (entry ${first?.seq}).`,
    );
    expect((await plan())?.checkpoints[2]?.plannedMs).toBeGreaterThan(
      first?.checkpoints[2]?.plannedMs as number,
    );
    const { state } = await w.trip();
    const kept = state.entries.filter((e) => e.event.kind === 'schedule.set');
    expect(kept.map((e) => e.event.seq)).toEqual([first?.seq, state.schedule?.seq]);
    expect(kept[0]?.event.data).toMatchObject({ checkpoints: first?.checkpoints });
    await w.say('mara', '[Undo]');
    expect(await plan()).toEqual(first);
  });

  it('is refused with a way out where nothing is left to plan, or no end is found', async () => {
    const rows = Array.from({ length: 12 }, (_, i) => `${i + 1},60,A5,hanging`);
    w.file('wide.csv', ['pitch,length_m,aid,stance', ...rows].join('\n'));
    await climb(w, DAY, [
      ['05:40', 'mara', '/topo load file:wide.csv'],
      ['05:40', 'mara', '/trip edit wet_hours:168'],
      ['05:45', 'mara', '/rain start'],
    ]);
    const endless = await set();
    expect([endless.refused, text(endless)]).toEqual([
      true,
      'From here no end is found within a week, so no plan can be made.\n' +
        'Is there a place to sleep in the topo? /topo edit number: bivy:',
    ]);
    expect(text(await w.say('mara', '/topout'))).toMatch(/^Top-out not within a week\. /);
    w.at('2031-06-13 20:00');
    const last = await w.say('greta', '/pitch done number:12');
    await w.say('greta', `[${last.buttons?.[0]?.label}]`);
    const refused = await set();
    expect([refused.refused, text(refused)]).toEqual([
      true,
      'All pitches are done; nothing is left to plan.',
    ]);
  });
});

describe('the schedule shown', () => {
  it('silence past a planned checkpoint is behind, by the time since', async () => {
    await set();
    const planned = (await plan())?.checkpoints[0]?.plannedMs ?? 0;
    await climb(w, DAY, [['06:00', 'mara', '/trip depart']]);
    w.clock.set(planned + 9 * 60_000);
    expect(await show()).toMatch(/^On schedule/);
    w.clock.set(planned + 40 * 60_000);
    expect(await show()).toMatch(
      /^Behind by 40 min: pitch 1 was planned by then and nothing was told; (\d+ h \d\d|\d+ h) left before the latest time for pitch 1 \((Fri )?\d\d:\d\d\)\./,
    );
    w.clock.set(planned + 41 * 60_000);
    await w.say('greta', '/pitch done number:1 at:-60m');
    expect(await show()).toMatch(/^Ahead by 19 min at pitch 1; /);
  });

  it('says ahead or behind at the last checkpoint as the post’s own line does', async () => {
    await set();
    const planned = (await plan())?.checkpoints[0]?.plannedMs ?? 0;
    w.clock.set(planned + 35 * 60_000);
    const reply = await w.say('greta', '/pitch done number:1');
    expect(text(reply)).toContain('Behind by 35 min. Top-out ');
    expect(await show()).toMatch(/^Behind by 35 min at pitch 1; /);
  });

  it('/topout names one latest time, its own', async () => {
    await set();
    await climb(w, DAY, [
      ['06:05', 'mara', '/trip depart'],
      ['06:40', 'greta', '/pitch done number:1'],
    ]);
    const said = text(await w.say('mara', '/topout'));
    expect(said).toMatch(/^(Ahead|Behind) by \d+ min at pitch 1\.$|^On schedule at pitch 1\.$/m);
    expect(said.match(/latest time|Be done with pitch|Climb on by/g)).toHaveLength(1);
  });

  it('waiting in the rain is not behind, but a latest time out of reach is said', async () => {
    await set();
    await climb(w, DAY, [
      ['06:05', 'mara', '/trip depart'],
      ['06:40', 'greta', '/pitch done number:1'],
      ['07:00', 'greta', '/rain start'],
    ]);
    expect(await show()).toMatch(
      /^Waiting; not behind for that\. The latest time for pitch 2 \(.+\) is out of reach from here\.\n/,
    );
  });

  it('is a table whose figures agree, narrow enough for a phone', async () => {
    await set();
    await climb(w, DAY, [
      ['06:05', 'mara', '/trip depart'],
      ['07:50', 'greta', '/pitch done number:1'],
    ]);
    const reply = await w.say('mara', '/schedule show');
    expect(tableWidth(reply)).toBeLessThanOrEqual(48);
    const minutes = (clock: string) => {
      const [, sign, h, m] = /^([-+]?)(?:\w{3} )?(\d+):(\d\d)$/.exec(clock) ?? [];
      return (sign === '-' ? -1 : 1) * (Number(h) * 60 + Number(m));
    };
    const rows = reply.table?.rows.filter((row) => row.length > 1) ?? [];
    expect(rows).toHaveLength(8);
    const sameDay = rows.filter((row) => row.every((cell) => !/[A-Z]/.test(cell)));
    expect(sameDay.length).toBeGreaterThan(0);
    for (const [, planned, latest, actual, late, margin] of sameDay as string[][]) {
      const when = minutes((actual as string).replace('~', ''));
      expect(minutes(late as string)).toBe(when - minutes(planned as string));
      if (latest !== '-') expect(minutes(margin as string)).toBe(minutes(latest as string) - when);
    }
    expect(rows[0]?.[3]).toBe('07:50');
    expect(rows[1]?.[3]).toMatch(/^~/);
  });

  it('without one says how to set it; after everyone is down it only looks back', async () => {
    expect(await show()).toBe('No schedule is set yet.\nWhen the plan stands: /schedule set');
    await set();
    w.at(`${DAY} 20:00`);
    const last = await w.say('greta', '/pitch done number:8');
    await w.say('greta', `[${last.buttons?.[0]?.label}]`);
    await climb(w, DAY, [['21:00', 'mara', '/trip down']]);
    const over = await show();
    expect(over).toContain('Everyone down 21:00.');
    expect(over).not.toContain('the party on the wall decides');
    expect(over).not.toMatch(/\d in \d/);
  });
});

/** Nine pitches that could be done in a day by a quick party, meant for two: a ledge after 5. */
const NINE = `pitch,length_m,free,aid,stance,bivy,places,rappel
${Array.from({ length: 9 }, (_, i) => `${i + 1},35,6a,,ledge,${i === 4 ? 'ledge,4' : 'none,'},yes`).join('\n')}
`;

describe('a wall meant for two days', () => {
  it('is planned for two days, with latest times, the evening before', async () => {
    w.file('nine.csv', NINE);
    const said = await climb(w, '2031-06-11', [
      ['20:00', 'mara', '/topo load file:nine.csv'],
      ['20:01', 'mara', '/trip edit haul_bag:no stop:21:00 first_day:2031-06-12'],
      ['20:02', 'mara', '/bivy plan pitch:5'],
      ['20:03', 'mara', '/topout'],
    ]);
    expect(said.slice(-1).map(text)[0]).toMatch(/^Top-out Fri \d\d:/);
    await set();
    const checkpoints = (await plan())?.checkpoints ?? [];
    expect(checkpoints).toHaveLength(9);
    for (const { pitch, plannedMs, latestMs } of checkpoints) {
      const day = pitch <= 5 ? '2031-06-12' : '2031-06-13';
      expect(plannedMs, `pitch ${pitch}`).toBeGreaterThan(at(`${day} 06:00`));
      expect(plannedMs, `pitch ${pitch}`).toBeLessThan(at(`${day} 21:00`));
      expect(latestMs, `pitch ${pitch}`).toBeGreaterThan(at('2031-06-12 06:00'));
    }
    // Who slept lower down passes the ledge next day and may still meet the boat.
    expect(checkpoints[4]?.latestMs).toBeLessThan(checkpoints[5]?.latestMs as number);
  });
});
