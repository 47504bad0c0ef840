import type { ForecastDay, ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';

/** Invented: midsummer on a wall near the Norwegian coast, times as UTC for plainness. */
export const DAY0_MS = Date.UTC(2031, 5, 12);
export const HOUR_MS = 3_600_000;
export const MIN_MS = 60_000;

/** An instant by day of the trip (0 is the first), hour and minute. */
export function at(day: number, hour: number, minute = 0): number {
  return DAY0_MS + day * 24 * HOUR_MS + hour * HOUR_MS + minute * MIN_MS;
}

/** Climbing from 07:00, no pitch begun after 20:00, light from 05:00 to 21:30. */
export function days(count: number): ForecastDay[] {
  return Array.from({ length: count }, (_, d) => ({
    startMs: at(d, 7),
    stopMs: at(d, 20),
    dawnMs: at(d, 5),
    duskMs: at(d, 21, 30),
  }));
}

/** A route that alternates leaders, free and aid, ledges and hanging stances. */
export function route(count: number, aidEvery = 3, climbers = 2): ForecastPitch[] {
  return Array.from({ length: count }, (_, i) => ({
    number: i + 1,
    lengthM: 30 + ((i * 7) % 20),
    mode: i % aidEvery === 1 ? 'aid' : 'free',
    leader: i % climbers,
    gapSteps: i % aidEvery === 1 ? -1 : -3 + (i % 4),
    ...(i % aidEvery === 1 ? { aidGrade: 1 + (i % 2) } : {}),
    stance: i % 2 === 0 ? 'ledge' : 'hanging',
    bivy: i % 4 === 3 ? { kind: 'portaledge' } : { kind: 'none' },
  }));
}

/**
 * Figures under which a pitch takes what its stages take: the party is believed to be as the stages have it, rests
 * are its own affair, and it starts on time. What ships is another matter than how it is computed.
 */
export const AS_STAGES = { paceUnknown: 1, priorParty: 0.3, restMinPerH: 0, startSpreadMin: 0 };

/** A party of two on ten pitches, before the start; override what a test is about. */
export function trip(over: Partial<ForecastInput> = {}): ForecastInput {
  const { settings, ...rest } = over;
  return {
    seed: 20310612,
    nowMs: at(0, 6),
    climbers: [
      { id: 'mara', name: 'Mara' },
      { id: 'jonas', name: 'Jonas' },
    ],
    partySize: 2,
    haulBag: true,
    bagKg: 40,
    pitches: route(10),
    departed: false,
    plannedStartMs: at(0, 7),
    days: days(6),
    descent: { kind: 'given', min: 120 },
    cutoffs: [],
    confidence: 0.9,
    ascents: 4000,
    settings: { ...AS_STAGES, ...settings },
    ...rest,
  };
}

/** The wall of the benchmark: thirty pitches, three days, a shuttle and three more cutoffs. */
export function bigWall(over: Partial<ForecastInput> = {}): ForecastInput {
  const departures = Array.from({ length: 6 }, (_, d) =>
    Array.from({ length: 38 }, (_, i) => ({ atMs: at(d, 6, 20 + 20 * i), last: i === 37 })),
  ).flat();
  return trip({
    pitches: route(30, 6),
    departures,
    walkOut: { km: 9, upM: 100, downM: 500 },
    cutoffs: [
      { id: 'boat', kind: 'shuttle', label: 'last boat', atMs: at(2, 18, 40), target: 'trailhead' },
      { id: 'dark', kind: 'dark', label: 'dark', atMs: at(2, 21, 30), target: 'topout' },
      { id: 'permit', kind: 'permit', label: 'permit', atMs: at(3, 12), target: 'down' },
      { id: 'rain', kind: 'weather', label: 'rain', atMs: at(2, 15), target: { pitch: 24 } },
    ],
    ...over,
  });
}
