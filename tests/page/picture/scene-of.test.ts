import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { forecastOf } from '../../../src/app/forecast/run.ts';
import { daylight } from '../../../src/forecast/daylight/daylight.ts';
import type { Forecast } from '../../../src/forecast/model.ts';
import { altOf } from '../../../src/page/picture/alt.ts';
import { drawSvg } from '../../../src/page/picture/draw.ts';
import { pictures } from '../../../src/page/picture/pictures.ts';
import { sceneOf } from '../../../src/page/picture/scene-of.ts';
import { instant, ZONE } from '../../helpers/world.ts';
import { climbHalfway, DAY, goSilent, type OnPage, onPage } from '../server/trip-on-page.ts';
import { nodesOf, num, ofPart } from './svg.ts';

let on: OnPage;

async function now() {
  const { state } = await on.w.trip();
  const nowMs = on.w.clock.wallMs();
  const forecast = await forecastOf(on.app, state, nowMs);
  return { state, nowMs, forecast: forecast as Forecast, scene: sceneOf(state, forecast, nowMs) };
}

const at = (time: string) => instant(ZONE, `${DAY} ${time}`);

describe('a party on the wall', () => {
  beforeAll(async () => {
    on = await onPage();
    await climbHalfway(on, true);
  });
  afterAll(() => on.close());

  it('is drawn from the forecast’s own numbers', async () => {
    const { forecast, scene } = await now();
    const ahead = forecast.checkpoints.filter((c) => c.actual === undefined);
    expect(scene.fan.slice(1).map(({ q10, q50, q90 }) => ({ q10, q50, q90 }))).toEqual(
      ahead.map((c) => c.done),
    );
    // Heights are the lengths of the topo, one on the other: 38, 42, 30, 45, 35, 38, 25, 40 m.
    expect(scene.levels.map((l) => l.heightM)).toEqual([38, 80, 110, 155, 190, 228, 253, 293]);
    expect(scene.fan.map((f) => f.heightM)).toEqual([190, 228, 253, 293]);
    expect(scene.down).toMatchObject({ ...forecast.trailhead, fromMs: forecast.topout.q50 });
  });

  it('and its drawing has top and trailhead where the forecast has them', async () => {
    const { forecast, scene, nowMs } = await now();
    const nodes = nodesOf(drawSvg(scene));
    // Two instants whose lines are drawn make the scale: now, and the boat at 20:15.
    const nowX = num(ofPart(nodes, 'now', 'line')[0], 'x1');
    const boatX = num(ofPart(nodes, 'binding', 'line')[0], 'x1');
    const perX = (at('20:15') - nowMs) / (boatX - nowX);
    const ends = ofPart(nodes, 'down-end', 'circle');
    expect(ends).toHaveLength(1);
    const downMs = nowMs + (num(ends[0], 'cx') - nowX) * perX;
    expect(Math.abs(downMs - forecast.trailhead.q50) / 60_000).toBeLessThan(5);
  });

  it('says when it is open on which day they top out', async () => {
    const { state, nowMs, forecast, scene } = await now();
    expect(scene.topIsOpen).toBeUndefined();
    const [day] = forecast.days;
    if (day === undefined) throw new Error('no day');
    const days = [
      { ...day, chance: 0.5 },
      { ...day, chance: 0.5 },
    ];
    expect(sceneOf(state, { ...forecast, days }, nowMs).topIsOpen).toBe(true);
  });

  it('shows what was told with its start, and who leads', async () => {
    const { scene } = await now();
    expect(scene.actual).toEqual([
      { atMs: at('06:10'), heightM: 0 },
      { atMs: at('07:20'), heightM: 38 },
      { atMs: at('08:55'), heightM: 80 },
      { atMs: at('10:40'), heightM: 110 },
      { atMs: at('13:05'), heightM: 155 },
      { atMs: at('14:22'), heightM: 190 },
    ]);
    expect(scene.levels.map((l) => l.done)).toEqual([
      ...Array(5).fill(true),
      ...Array(3).fill(false),
    ]);
    expect(scene.levels[5]?.leader).toBe('Ines');
    expect(scene.descending).toBe(false);
  });

  it('shades from civil dusk to civil dawn of that place', async () => {
    const { scene, state } = await now();
    const where = { lat: state.place.lat ?? 0, lon: state.place.lon ?? 0 };
    const today = daylight(where, ZONE, { year: 2031, month: 8, day: 23 });
    const next = daylight(where, ZONE, { year: 2031, month: 8, day: 24 });
    expect(scene.nights).toContainEqual({ fromMs: today.duskMs, toMs: next.dawnMs });
  });

  it('has a line for every cutoff and for what is expected, the one that binds alone heavy', async () => {
    const { scene } = await now();
    const lines = scene.marks.map((m) => [m.label.split(',')[0], m.atMs, m.binds]);
    expect(lines).toContainEqual(['Last boat 20:15', at('20:15'), true]);
    expect(lines).toContainEqual(['Check-in 18:00', at('18:00'), false]);
    expect(lines).toContainEqual(['Down by 23:00', at('23:00'), false]);
    expect(scene.marks.filter((m) => m.binds)).toHaveLength(1);
  });

  it('draws the schedule as it was set', async () => {
    const { scene, state } = await now();
    expect(scene.planned.map((p) => p.atMs)).toEqual(
      state.schedule?.checkpoints.map((c) => c.plannedMs),
    );
    expect(scene.planned.map((p) => p.heightM)).toEqual(scene.levels.map((l) => l.heightM));
  });
});

describe('what changes it', () => {
  beforeEach(async () => {
    on = await onPage();
    await climbHalfway(on);
  });
  afterEach(() => on.close());

  it('an alarm makes the call-out time the line that everything turns on', async () => {
    await goSilent(on);
    const { scene } = await now();
    const callout = scene.marks.find((m) => m.label.startsWith('Call-out'));
    expect(callout).toMatchObject({ atMs: at('06:00') + 24 * 3_600_000, binds: true });
    expect(scene.marks.filter((m) => m.binds)).toEqual([callout]);
  });

  it('rests flat through a night that was told', async () => {
    on.w.at(`${DAY} 19:00`);
    await on.w.say('greta', '/bivy settle');
    const night = (await now()).scene.fan;
    expect(night[0]).toEqual({
      heightM: 190,
      q10: at('19:00'),
      q50: at('19:00'),
      q90: at('19:00'),
    });
    expect(night[1]?.heightM).toBe(190);
    expect(night[1]?.q50).toBeGreaterThan(at('23:00'));
    on.w.at('2031-08-24 06:30');
    await on.w.say('greta', '/bivy leave');
    const { scene } = await now();
    expect(scene.actual.slice(-2)).toEqual([
      { atMs: at('19:00'), heightM: 190 },
      { atMs: instant(ZONE, '2031-08-24 06:30'), heightM: 190 },
    ]);
  });
});

describe('the other ends of a trip', () => {
  beforeEach(async () => {
    on = await onPage();
  });
  afterEach(() => on.close());

  it('before the start the fan begins with the planned start on the ground', async () => {
    on.w.at(`${DAY} 04:00`);
    const { scene, forecast } = await now();
    expect(scene.actual).toEqual([]);
    expect(scene.fan[0]).toMatchObject({ heightM: 0, q50: at('06:00') });
    expect(scene.fan).toHaveLength(forecast.checkpoints.length + 1);
  });

  it('coming down is drawn from station to station, and the rappels that are left to the ground', async () => {
    await climbHalfway(on, true);
    await on.w.say('mara', '/retreat begin');
    on.w.at(`${DAY} 15:10`);
    await on.w.say('mara', '/retreat rappel station:3');
    // 80 m are longer than ropes of 70 m reach, so it was two.
    await on.w.say('mara', '[At stance 3, by several rappels]');
    const { scene, nowMs } = await now();
    // Heights of the topo: 190 m above pitch 5, 110 m above pitch 3.
    expect(scene.actual.slice(-2).map((p) => p.heightM)).toEqual([190, 110]);
    expect(scene.actual.at(-1)?.atMs).toBe(nowMs);
    expect([scene.fan, scene.descending]).toEqual([[], true]);
    // Three rappels at 10–12.5 min each by day, from published whole-route descents, and a third person's share.
    expect(scene.down).toMatchObject({ fromMs: nowMs, fromM: 110, to: 'ground' });
    const minutes = ((scene.down?.q50 ?? 0) - nowMs) / 60_000;
    expect(minutes).toBeGreaterThan(3 * 10);
    expect(minutes).toBeLessThan(3 * 25);
    expect(altOf(scene)).toContain('On the ground ');
    expect(scene.answer.join()).toMatch(/^Coming down since /);
  });

  it('on the way down nobody waits at a stance', async () => {
    await climbHalfway(on);
    for (const n of [6, 7, 8]) {
      on.w.at(`${DAY} 14:${9 * n - 22}`);
      await on.w.say('greta', `/pitch done number:${n}`);
    }
    on.w.at(`${DAY} 15:00`);
    const { scene } = await now();
    expect(scene.descending).toBe(true);
    expect(scene.fan).toEqual([]);
    expect(scene.down?.fromM).toBe(293);
    const nodes = nodesOf(drawSvg(scene));
    expect(ofPart(nodes, 'here', 'circle')).toEqual([]);
  });

  it('with everyone down it ends on the ground and threatens nothing any more', async () => {
    await climbHalfway(on);
    await on.w.say('mara', '/trip down');
    const { scene } = await now();
    expect(scene.actual.at(-1)).toEqual({ atMs: at('14:32'), heightM: 0 });
    expect(scene.marks).toEqual([]);
    expect(scene.fan).toEqual([]);
    expect(scene.down).toBeUndefined();
  });

  it('a trip without a topo has no picture file, and says so in text', async () => {
    const { state, nowMs } = await now();
    const bare = { ...state, pitches: [] };
    expect(await pictures.file(bare, undefined, nowMs)).toBeUndefined();
    expect(pictures.text(bare, undefined, nowMs, 78)).toEqual([
      'No picture without a topo: /topo load.',
    ]);
  });

  it('a file is a PNG with alt text within what Discord takes', async () => {
    await climbHalfway(on);
    const { state, forecast, nowMs, scene } = await now();
    const file = await pictures.file(state, forecast, nowMs);
    // The first eight bytes of every PNG (ISO/IEC 15948, 5.2).
    expect([...(file?.bytes.slice(0, 8) ?? [])]).toEqual([137, 80, 78, 71, 13, 10, 26, 10]);
    expect(file?.alt).toBe(altOf(scene));
    expect(file?.alt?.length).toBeLessThanOrEqual(1024);
    expect(file?.bytes.length).toBeLessThan(300_000);
  });
});
