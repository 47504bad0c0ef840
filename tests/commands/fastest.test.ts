import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { forecast } from '../../src/forecast/forecast.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { leadTimes } from '../../src/forecast/lead-times.ts';
import { gapOf } from '../../src/forecast/ways.ts';
import { duration } from '../../src/time/format.ts';
import { leads, mayLead } from '../../src/trip/rotation.ts';
import type { TripState } from '../../src/trip/state.ts';
import { climb } from '../app/forecast/said.ts';
import { text, type World, world } from '../helpers/world.ts';

const DAY = '2031-06-12';
const SMALL = `pitch,length_m,free,aid,stance
1,38,5c,,ledge
2,42,6b,,hanging
3,30,6a,,hanging
4,45,,A2,hanging
5,25,6a+,,ledge
`;
let w: World;
beforeEach(async () => {
  w = await world();
  w.file('small.csv', SMALL);
  await climb(w, DAY, [
    ['05:30', 'mara', '/trip open name:"Harrow Tower" zone:Europe/Oslo lat:62.1 lon:6.9'],
    ['05:30', 'mara', '/topo load file:small.csv'],
    ['05:30', 'mara', '/roster add name:Mara free:6c aid:A2'],
    ['05:30', 'mara', '/roster add name:Jonas free:6a+ aid:A3'],
    ['05:30', 'mara', '/roster add name:Ines free:6b aid:A1'],
  ]);
});
afterEach(() => w.close());

const state = async () => (await w.trip()).state;
const order = (typed = '') => w.say('mara', `/lead order rule:fastest ${typed}`.trim());
const leaders = (s: TripState) => leads(s).map((l) => l.leader as string);
const IDS = ['mara', 'jonas', 'ines'];

/** Minutes of each pitch under each climber, and whether it is within their ceiling. */
async function table(nowMs: number) {
  const s = await state();
  const ids = s.people.map((p) => p.id);
  const base = forecastInput(s, nowMs);
  const gaps = s.pitches.map((p) => base.climbers.map((c) => gapOf(s, p, c.id).gapSteps));
  const { minutes, firstPitches } = leadTimes(base, gaps);
  const may = firstPitches.map((n) => ids.map((id) => mayLead(s, s.pitches[n - 1] as never, id)));
  return { ids, minutes, may, firstPitches };
}

/** All orders there are, tried one after the other. */
async function bruteForce(fits: (order: readonly number[]) => boolean) {
  const { ids, minutes, may } = await table(w.clock.wallMs());
  let best = { totalMin: Number.POSITIVE_INFINITY, order: [] as string[] };
  const [n, m] = [minutes.length, ids.length];
  for (let code = 0; code < m ** n; code++) {
    const chosen = Array.from({ length: n }, (_, i) => Math.floor(code / m ** i) % m);
    if (!chosen.every((c, i) => may[i]?.[c]) || !fits(chosen)) continue;
    const totalMin = chosen.reduce((sum, c, i) => sum + (minutes[i]?.[c] as number), 0);
    if (totalMin < best.totalMin - 1e-9) {
      best = { totalMin, order: chosen.map((c) => ids[c] as string) };
    }
  }
  return best;
}
const counts = (o: readonly number[]) => IDS.map((_, c) => o.filter((x) => x === c).length);
/** Even shares of five leads among three, give or take one: 0 to 3 each. */
const even = (slack: number) => (o: readonly number[]) =>
  counts(o).every((n) => n >= Math.max(0, 1 - slack) && n <= 2 + slack);
const longestRun = (o: readonly number[]) =>
  o.reduce(
    ({ run, most }, c, i) => {
      const now = c === o[i - 1] ? run + 1 : 1;
      return { run: now, most: Math.max(most, now) };
    },
    { run: 0, most: 0 },
  ).most;
const minutesSaid = (said: string) => {
  const [, h, m] = /^(?:(\d+) h ?)?(?:(\d+)(?: min)?)? of climbing/m.exec(said) ?? [];
  return Number(h ?? 0) * 60 + Number(m ?? 0);
};

describe('the fastest order', () => {
  it.each<[string, (o: readonly number[]) => boolean]>([
    ['', even(1)],
    ['slack:0', even(0)],
    ['slack:3', () => true],
    ['slack:3 rest:1', (o) => longestRun(o) <= 1],
    ['slack:3 rest:2', (o) => longestRun(o) <= 2],
    ['wishes:"Mara 3, Ines not 2"', (o) => even(1)(o) && o[2] === 0 && o[1] !== 2],
  ])('is the best of all orders there are: %s', async (typed, fits) => {
    const best = await bruteForce(fits);
    const reply = await order(typed);
    const { minutes, ids } = await table(w.clock.wallMs());
    const found = leaders(await state());
    const totalMin = found.reduce((sum, id, i) => sum + (minutes[i]?.[ids.indexOf(id)] ?? 0), 0);
    expect(totalMin).toBeCloseTo(best.totalMin, 9);
    expect(fits(found.map((id) => IDS.indexOf(id)))).toBe(true);
    expect(minutesSaid(text(reply))).toBe(Math.round(best.totalMin));
  });

  it('says the gain over swing leads in minutes, and whom those would put above their ceiling', async () => {
    const { minutes, ids } = await table(w.clock.wallMs());
    const swing = leaders(await state());
    expect(swing).toEqual(['mara', 'jonas', 'ines', 'mara', 'jonas']);
    const swingMin = swing.reduce((sum, id, i) => sum + (minutes[i]?.[ids.indexOf(id)] ?? 0), 0);
    const best = await bruteForce(even(1));
    const said = text(await order());
    expect(said).toContain(
      `${duration(Math.round(swingMin - best.totalMin))} less than swing leads, which put Jonas on 2, harder than they lead.`,
    );
    expect(said).toMatch(/^Fastest: 1 \w+, 2 \w+, 3 \w+, 4 \w+, 5 \w+\.\n/);
    expect(said).toMatch(
      /\nTop-out .* \(cautious .*\)\. That is (\d+ min|\d h \d\d) earlier than before\.$/,
    );
  });

  it('keeps what was assigned by hand, and what is led', async () => {
    const previewed = await w.say('mara', '/lead assign pitch:5 leader:Ines');
    expect(text(previewed)).toContain('Nothing is changed yet.');
    await w.say('mara', '[Assign it]');
    await climb(w, DAY, [
      ['06:00', 'mara', '/trip depart'],
      ['06:10', 'greta', '/roster show'],
      ['06:10', 'mara', '/pitch start number:1 leader:Jonas'],
      ['07:00', 'mara', '/pitch done'],
      ['07:05', 'mara', '/pitch start number:2 leader:Ines'],
    ]);
    const said = text(await order());
    expect(said).toMatch(/^Fastest: 3 \w+, 4 \w+, 5 Ines\.\n/);
    const after = leaders(await state());
    expect([after[0], after[1], after[4]]).toEqual(['jonas', 'ines', 'ines']);
  });

  it('is undone by Undo, exactly', async () => {
    const before = leaders(await state());
    await order();
    expect(leaders(await state())).not.toEqual(before);
    await w.say('mara', '[Undo]');
    expect(leaders(await state())).toEqual(before);
  });

  it('that can’t be is refused with the demands that clash, and nothing is changed', async () => {
    const before = await state();
    const refused: [string, string][] = [
      ['wishes:"Jonas 2"', 'Jonas'],
      ['wishes:"Mara 1, Mara 2" rest:1', 'no more than 1 lead in a row'],
      ['wishes:"Bo 1"', 'Can\'t read the wish "Bo 1".'],
      ['wishes:"Mara 9"', 'Can\'t read the wish "Mara 9".'],
      ['wishes:"Mara"', 'wishes:"Mara 3, Ines not 8"'],
    ];
    for (const [typed, said] of refused) {
      const reply = await order(typed);
      expect([typed, reply.refused, text(reply)]).toEqual([
        typed,
        true,
        expect.stringContaining(said),
      ]);
    }
    await w.say('mara', '/topo edit number:4 aid:A5');
    expect(text(await order())).toContain('Pitch 4 is harder than anybody leads.');
    expect((await state()).order).toEqual(before.order);
  });
});

describe('a reassignment', () => {
  it.each([
    ['/lead assign pitch:4 leader:Jonas', '[Assign it]'],
    ['/lead swap a:2 b:3', '[Swap them]'],
  ])('%s is told with what it does to the top-out before it is made', async (line, press) => {
    const before = await state();
    const medianMs = async () =>
      forecast(forecastInput(await state(), w.clock.wallMs())).topout.q50;
    const wasMs = await medianMs();
    const shown = await w.say('mara', line);
    expect(text(shown)).toContain('Nothing is changed yet.');
    expect(shown.private).toBe(true);
    expect(await state()).toEqual(before);
    const made = await w.say('mara', press);
    expect(leaders(await state())).not.toEqual(leaders(before));
    const min = Math.round(((await medianMs()) - wasMs) / 60_000);
    const by = `${duration(min)} ${min < 0 ? 'earlier' : 'later'} than before`;
    const moved = min === 0 ? 'as before' : by;
    for (const reply of [shown, made])
      expect(text(reply)).toMatch(new RegExp(`Top-out .*\\. That is ${moved}\\.`));
    await w.say('mara', '[Undo]');
    expect(leaders(await state())).toEqual(leaders(before));
  });

  it('of a pitch that is begun is refused', async () => {
    await climb(w, DAY, [
      ['06:00', 'mara', '/trip depart'],
      ['07:00', 'mara', '/pitch fixed number:1'],
    ]);
    const reply = await w.say('mara', '/lead assign pitch:1 leader:Ines');
    expect(text(reply)).toMatch(/^Pitch 1 was fixed already\.\nIf another climber led it: /);
  });
});
