import { clock, dayClock } from '../../time/format.ts';
import type { Mark, TripState } from '../state.ts';
import type { No } from './no.ts';

/** Every mark of every pitch. */
export function marks(state: TripState): { pitch: number; name: string; mark: Mark }[] {
  return state.pitches.flatMap((p) =>
    (['started', 'fixed', 'done'] as const).flatMap((name) => {
      const mark = p[name];
      return mark === undefined ? [] : [{ pitch: p.number, name, mark }];
    }),
  );
}

const EITHER =
  'One of the two is wrong: /log show has its number for /pitch amend or /pitch strike.';

/** Departed before the first pitch, everyone down after the last. */
export function* phasesHold(state: TripState): Generator<No> {
  const { departedAtMs, downAtMs, zone } = state;
  const all = marks(state);
  for (const { pitch, name, mark } of all) {
    if (departedAtMs !== undefined && mark.atMs < departedAtMs) {
      yield {
        rule: 'depart-after-pitch',
        text: `Pitch ${pitch} was ${name} at ${dayClock(zone, mark.atMs, departedAtMs)}, before the departure at ${dayClock(zone, departedAtMs, mark.atMs)}.`,
        ways: [EITHER],
        pitch,
        seq: mark.seq,
      };
    }
    if (downAtMs !== undefined && mark.atMs > downAtMs) {
      yield {
        rule: 'after-down',
        text: `Pitch ${pitch} was ${name} at ${dayClock(zone, mark.atMs, downAtMs)}, after everyone was down at ${dayClock(zone, downAtMs, mark.atMs)}.`,
        ways: [EITHER],
        pitch,
        seq: mark.seq,
      };
    }
  }
  if (departedAtMs !== undefined && downAtMs !== undefined && downAtMs < departedAtMs) {
    yield {
      rule: 'down-before-pitch',
      text: `Everyone down at ${dayClock(zone, downAtMs, departedAtMs)} is before the departure at ${dayClock(zone, departedAtMs, downAtMs)}.`,
      ways: [EITHER],
    };
  }
}

/** Breaks lie apart, and inside what the pitch's own marks leave room for. */
export function* breaksHold(state: TripState): Generator<No> {
  const sorted = [...state.breaks].sort((a, b) => a.fromMs - b.fromMs);
  for (const [i, rest] of sorted.entries()) {
    const next = sorted[i + 1];
    if (next !== undefined && next.fromMs < rest.toMs) {
      yield {
        rule: 'break-overlaps',
        text:
          `A break from ${clock(state.zone, next.fromMs)} to ${clock(state.zone, next.toMs)} overlaps ` +
          `the one from ${clock(state.zone, rest.fromMs)} to ${clock(state.zone, rest.toMs)}.`,
        ways: ['Fewer minutes, or another time: minutes: and at: (when it ended).'],
        pitch: rest.pitch,
      };
    }
    const pitch = state.pitches[rest.pitch - 1];
    if (pitch === undefined) {
      yield {
        rule: 'no-such-pitch',
        text: `There is no pitch ${rest.pitch}; the topo has ${state.pitches.length}.`,
        ways: ['/topo show lists them.'],
        pitch: rest.pitch,
      };
      continue;
    }
    const below = state.pitches[rest.pitch - 2]?.done;
    const fromMs = pitch.started?.atMs ?? (below?.timeUnknown === true ? undefined : below?.atMs);
    const outside =
      (fromMs !== undefined && rest.fromMs < fromMs) ||
      (pitch.done !== undefined && rest.toMs > pitch.done.atMs);
    if (outside) {
      yield {
        rule: 'break-outside',
        text: `A break from ${clock(state.zone, rest.fromMs)} to ${clock(state.zone, rest.toMs)} isn't inside pitch ${rest.pitch}${span(state, fromMs, pitch.done?.atMs)}.`,
        ways: ['at: is when it ended; number: names another pitch.'],
        pitch: rest.pitch,
      };
    }
  }
}

/** ` (from 07:00)`, ` (07:00 to 08:00)`. */
function span(state: TripState, fromMs: number | undefined, toMs: number | undefined): string {
  const [from, to] = [fromMs, toMs].map((ms) => (ms === undefined ? '' : clock(state.zone, ms)));
  if (from === '') return to === '' ? '' : ` (until ${to})`;
  return to === '' ? ` (from ${from})` : ` (${from} to ${to})`;
}
