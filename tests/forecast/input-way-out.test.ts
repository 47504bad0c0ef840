import { describe, expect, it } from 'vitest';
import { forecastInput } from '../../src/forecast/input.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { at, done, MINUTE, type Party, type Post, setUp, stateOf } from '../trip/build.ts';

/** The evening before, and some posts; read at a time of the 12th. */
function read(posts: readonly Post[], nowMs = at(12), party: Party = {}): ForecastInput {
  return forecastInput(stateOf([...setUp(party), ...posts]), nowMs);
}
const post = (kind: string, data: object, atMs = at(6)): Post => ({ kind, data, atMs });
const settings = (patch: object) => post('trip.edited', { settings: patch });

describe('cutoffs and the way out', () => {
  const cutoff = (id: string, atMs: number, target: unknown, kind = 'own') =>
    post('cutoff.added', { id, kind, label: id, target, atMs });

  it('leave out what is decided, and ask for a shuttle a little earlier', () => {
    const all = [
      cutoff('1', at(20), 'topout'),
      cutoff('2', at(11), 'topout'),
      cutoff('3', at(20), { pitch: 1 }),
      cutoff('4', at(21), 'trailhead', 'shuttle'),
    ];
    const input = read([...all, done(1, at(9))]);
    expect(input.cutoffs.map((c) => [c.id, c.atMs])).toEqual([
      ['1', at(20)],
      ['4', at(21) - 5 * MINUTE],
    ]);
    const own = read([...all, settings({ pace: { boardMin: 30 } })]);
    expect(own.cutoffs.at(-1)?.atMs).toBe(at(20, 30));
  });

  it('take every departure of the trip from the timetable, the last of each day marked', () => {
    const timetable = {
      label: 'boat',
      zone: 'UTC',
      clock: 'wall',
      services: [
        {
          season: { from: '2031-06-01', to: '2031-06-13' },
          weekdays: [1, 2, 3, 4, 5, 6, 7],
          times: [8, 18].map((h) => h * 3600),
          headways: [],
          added: [],
          removed: [],
        },
      ],
    };
    const input = read([post('shuttle.set', { name: 'boat', timetable })]);
    const coming = input.departures?.filter((d) => d.atMs >= at(0)).map((d) => [d.atMs, d.last]);
    expect(coming).toEqual([
      [at(8), false],
      [at(18), true],
      [at(32), false],
      [at(42), true],
    ]);
    expect(read([])).not.toHaveProperty('departures');
  });

  it('know the descent as given, as a walk, or not at all', () => {
    expect(read([]).descent).toEqual({ kind: 'given', min: 90 });
    expect(read([settings({ descentMin: 40 })]).descent).toEqual({ kind: 'given', min: 40 });
    expect(read([settings({ descentKm: 4, descentDownM: 650 })]).descent).toEqual({
      kind: 'walk',
      km: 4,
      upM: 0,
      downM: 650,
    });
    expect(read([settings({ walkKm: 11, walkUpM: 50 })]).walkOut).toEqual({
      km: 11,
      upM: 50,
      downM: 0,
    });
  });
});
