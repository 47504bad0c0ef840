import { admit } from '../../src/trip/admit.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { fold, folded } from '../../src/trip/fold.ts';
import { type No, ok, type Result } from '../../src/trip/rules/no.ts';
import type { TripState } from '../../src/trip/state.ts';
import type { PitchData } from '../../src/trip/topo.ts';

/** 12 June 2031, 00:00 UTC. */
export const DAY_MS = Date.UTC(2031, 5, 12);
export const MINUTE = 60_000;
export const HOUR = 60 * MINUTE;
/** Well after everything that these trips tell. */
export const NOW_MS = DAY_MS + 48 * HOUR;

export const at = (hour: number, minute = 0) => DAY_MS + hour * HOUR + minute * MINUTE;

/** What is to be recorded: kind, data, and when it happened and was told (then, unless named). */
export interface Post {
  /** Any word: what isn't a kind is told too, to see it refused. */
  kind: string;
  data?: object;
  atMs?: number;
  toldMs?: number;
  by?: string;
  id?: string;
}

let count = 0;

/** Events with the numbers after `seq`; an id is made up where none is named. */
export function events(posts: readonly Post[], seq = 0): Fact[] {
  return posts.map((post, i) => {
    const { kind, data = {}, atMs = DAY_MS, toldMs = atMs, by = 'mara', id } = post;
    count += 1;
    return {
      trip: 't',
      seq: seq + 1 + i,
      id: id ?? `x${count}`,
      kind,
      atMs,
      recordedAtMs: toldMs,
      by: { id: `local:${by}`, name: by },
      data,
      // Tests also tell what doesn't fit its kind.
    } as Fact;
  });
}

export function pitchOf(number: number, more: Partial<PitchData> = {}): PitchData {
  return { number, lengthM: 30, stance: 'ledge', bivy: 'none', rappel: true, ...more };
}

export interface Party {
  pitches?: number | readonly PitchData[];
  climbers?: readonly (string | { id: string; free?: string; aid?: string; leads?: boolean })[];
  order?: object;
}

/** A trip that is open, with topo and climbers, the evening before. */
export function setUp({ pitches = 6, climbers = ['mara', 'jonas', 'ines'], order }: Party): Post[] {
  const eve = DAY_MS - 5 * HOUR;
  const topo =
    typeof pitches === 'number'
      ? Array.from({ length: pitches }, (_, i) => pitchOf(i + 1))
      : pitches;
  return [
    {
      kind: 'trip.opened',
      atMs: eve,
      data: { name: 'Harrow Tower', zone: 'UTC', place: {}, units: 'm', confidence: 0.9 },
    },
    ...(topo.length === 0 ? [] : [{ kind: 'topo.loaded', atMs: eve, data: { pitches: topo } }]),
    ...climbers.map((c) => {
      const { id, ...fields } = typeof c === 'string' ? { id: c } : c;
      return joined(id, eve, fields);
    }),
    ...(order === undefined ? [] : [{ kind: 'lead.ordered', atMs: eve, data: order }]),
  ];
}

export function joined(id: string, atMs: number, fields: object = {}): Post {
  return {
    kind: 'roster.added',
    atMs,
    data: { id, fields: { name: id, roles: ['climber'], ...fields } },
  };
}

export const done = (pitch: number, atMs: number, leader?: string): Post => ({
  kind: 'pitch.done',
  atMs,
  data: { pitch, ...(leader === undefined ? {} : { leader }) },
});

export const started = (pitch: number, atMs: number, leader?: string): Post => ({
  ...done(pitch, atMs, leader),
  kind: 'pitch.started',
});

export const fixed = (pitch: number, atMs: number): Post => ({
  kind: 'pitch.fixed',
  atMs,
  data: { pitch },
});

export const strike = (target: string): Post => ({ kind: 'log.struck', data: { target } });

export const amend = (target: string, change: object): Post => ({
  kind: 'log.amended',
  data: { target, ...change },
});

export function stateOf(posts: readonly Post[]): TripState {
  return fold('t', events(posts));
}

/** The last posts held to the rules, after those before them. */
export function admitAfter(
  before: readonly Post[],
  fresh: readonly Post[],
  nowMs = NOW_MS,
): Result<TripState> {
  const history = events(before);
  const admitted = admit(folded('t', history), events(fresh, history.length), nowMs);
  return admitted.ok ? ok(admitted.value.after.state) : admitted;
}

/** The no that the last posts meet. */
export function noOf(before: readonly Post[], ...fresh: Post[]): No {
  const result = admitAfter(before, fresh);
  if (result.ok) throw new Error('was admitted');
  return result.no;
}
