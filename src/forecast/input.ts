import { departures } from '../timetable/departures.ts';
import { openCutoffs } from '../trip/cutoffs.ts';
import { climbingOn } from '../trip/parts.ts';
import { type Lead, leads } from '../trip/rotation.ts';
import { climbers, type PitchState, type TripState } from '../trip/state.ts';
import { ropesOf } from '../trip/two-ropes.ts';
import { rainAhead } from '../trip/weather.ts';
import type { Sleepers } from './beds.ts';
import { begunAt, chosenWay, choseOnMs } from './chosen.ts';
import { earlierFor } from './earlier.ts';
import { figuresOf, usable } from './figures.ts';
import type { ForecastClimber, ForecastDay, ForecastInput, ForecastPitch } from './model.ts';
import { descentFrom, downDay, plannedNights, workAt } from './planned-nights.ts';
import { asForecast, type LastRope } from './rope-behind.ts';
import { holdUntil, settledNight, toldPauses } from './told-pauses.ts';
import { begun, daysOf, plannedStart, startUnsure } from './trip-days.ts';
import { wayOf } from './ways.ts';

/**
 * Ascents of an everyday forecast. With so many, spread evenly, quantiles of 14 and of 30 pitches stay within 2 % of the 80 %
 * interval's width of a million plain ascents, or 2 min; but where a quantile falls into the gap a night leaves.
 */
export const ASCENTS = 4096;
const MINUTE = 60_000;
const DAY_MS = 86_400_000;
/** Descent when the party gave none: from memory, change it to your own. */
export const UNKNOWN_DESCENT_MIN = 90;
/** Climbers when nobody is on the roster yet: a rope has two ends. */
const UNKNOWN_PARTY = 2;

/**
 * The forecast's input, read from a trip. `nowMs` counts in whole minutes, so that the same log and
 * the same clock give the same answer to the minute.
 *
 * @param knownMs until when silence means that nothing was done; earlier than now after a long one
 * @throws RangeError without pitches
 */
export function forecastInput(
  state: TripState,
  nowMs: number,
  { ascents = ASCENTS, knownMs = nowMs } = {},
): ForecastInput {
  if (state.pitches.length === 0) throw new RangeError('no pitches');
  const now = Math.floor(knownMs / MINUTE) * MINUTE;
  const party = partyOf(state);
  const days = daysOf(state, now);
  const s = state.settings;
  const holdUntilMs = holdUntil(state, now);
  const figures = figuresOf(state);
  const sleepers = sleepersOf(state);
  const work = (pitch: number) => workAt(state, pitch, sleepers, figures);
  const settled = settledNight(state, days, now, work);
  const startMs = plannedStart(state, days, now);
  const { pitches, leads: plan, last } = asForecast(state);
  const onMs = choseOnMs(state, days, now);
  const input: ForecastInput = {
    seed: seedOf(state.id),
    nowMs: now,
    climbers: party,
    ...sleepers,
    ...ropesFrom(state, last),
    ...(s.party === undefined ? {} : { party: s.party }),
    ...earlierFor(state, party),
    haulBag: s.haulBag,
    ...(s.bagKg === undefined ? {} : { bagKg: s.bagKg }),
    pitches: pitchesOf(state, pitches, plan, party),
    departed: state.departedAtMs !== undefined || begun(state),
    ...(startMs === undefined ? {} : { plannedStartMs: startMs }),
    days,
    ...chosenWay(state, days, now, sleepers),
    ...(settled === undefined ? {} : { settled }),
    ...(holdUntilMs === undefined ? {} : { holdUntilMs }),
    ...rainOf(state, now),
    pauses: toldPauses(state, now),
    plan: { nights: plannedNights(state, days, sleepers, figures) },
    downDay: downDay(state, days),
    ...descentFrom(state),
    ...(startUnsure(state) ? { startUnsure: true } : {}),
    descent: descentOf(state),
    ...(s.walkKm === undefined
      ? {}
      : { walkOut: { km: s.walkKm, upM: s.walkUpM ?? 0, downM: s.walkDownM ?? 0 } }),
    ...departuresOf(state, days, now),
    cutoffs: cutoffsOf(state, Math.floor(nowMs / MINUTE) * MINUTE),
    confidence: state.confidence,
    ascents,
    settings: usable(s.pace),
  };
  return onMs === undefined ? input : begunAt(input, onMs);
}

/** Climbers who climb on; two while the roster is empty. */
export function partySizeOf(state: TripState): number {
  return climbingOn(state).length || UNKNOWN_PARTY;
}

/** Ropes that climb one behind the other; the one that is waited for is forecast as a party of its own. */
function ropesFrom(state: TripState, last?: LastRope): Pick<ForecastInput, 'ropes' | 'ropeSize'> {
  if (last !== undefined) return { ropeSize: last.people.length };
  const ropes = ropesOf(state).length;
  return ropes > 1 ? { ropes } : {};
}

/** Rain as it was told for the time ahead. */
function rainOf(state: TripState, now: number): Pick<ForecastInput, 'rain' | 'wetHours'> {
  const rain = rainAhead(state, now);
  return rain.length === 0 ? {} : { rain, wetHours: state.settings.wetHours };
}

/** Who has to find a bed on the wall, and what they carry for it. */
export function sleepersOf(state: TripState): Sleepers {
  const { portaledgePlaces } = state.settings;
  const partySize = partySizeOf(state);
  return portaledgePlaces === undefined ? { partySize } : { partySize, portaledgePlaces };
}

/** Those still open. A shuttle wants its passengers a little before it leaves. */
function cutoffsOf(state: TripState, nowMs: number): ForecastInput['cutoffs'] {
  const earlyMs = figuresOf(state).boardMin * MINUTE;
  return openCutoffs(state, nowMs).map((c) =>
    c.kind === 'shuttle' ? { ...c, atMs: c.atMs - earlyMs } : c,
  );
}

/** FNV-1a over the trip's id: every trip draws its own ascents, and the same ones each time. */
function seedOf(id: string): number {
  let hash = 0x811c9dc5;
  for (const char of id) hash = Math.imul(hash ^ (char.codePointAt(0) as number), 0x01000193) >>> 0;
  return hash;
}

/** Everybody who leads or has led; the index is the forecast's. */
function partyOf(state: TripState): ForecastClimber[] {
  const ids = [
    ...climbers(state).map((p) => p.id),
    ...leads(state).flatMap((l) => (l.leader === undefined ? [] : [l.leader])),
  ];
  const unique = [...new Set(ids)];
  if (unique.length === 0) return [{ id: '?', name: 'somebody' }];
  return unique.map((id) => ({ id, name: state.people.find((p) => p.id === id)?.name ?? id }));
}

function pitchesOf(
  state: TripState,
  pitches: readonly PitchState[],
  plan: readonly Lead[],
  party: readonly ForecastClimber[],
): ForecastPitch[] {
  const index = (id: string | undefined) =>
    Math.max(
      0,
      party.findIndex((c) => c.id === id),
    );
  return pitches.map((pitch, i): ForecastPitch => {
    const leader = plan[i]?.leader;
    const { expectedMin } = pitch;
    return {
      number: pitch.number,
      lengthM: pitch.lengthM,
      leader: index(leader),
      // Half in the harness is borne for as long as on a ledge.
      stance: pitch.stance === 'hanging' ? 'hanging' : 'ledge',
      bivy: {
        kind: pitch.bivy,
        ...(pitch.places === undefined ? {} : { places: pitch.places }),
      },
      ...wayOf(state, pitch, leader),
      // Nobody climbs through the stance where the party means to sleep.
      ...(state.links.has(pitch.number) && !state.bivyPlan.includes(pitch.number)
        ? { linkedToNext: true }
        : {}),
      ...(expectedMin === undefined ? {} : { expectedMin }),
      ...actualOf(state, pitch, index(leader)),
    };
  });
}

function actualOf(
  state: TripState,
  pitch: PitchState,
  leader: number,
): Pick<ForecastPitch, 'actual'> {
  const { started, fixed, done } = pitch;
  if ((started ?? fixed ?? done) === undefined) return {};
  const breaks = state.breaks.filter((b) => b.pitch === pitch.number);
  const until = (ms: number) =>
    breaks.reduce((sum, b) => sum + Math.max(0, Math.min(b.toMs, ms) - b.fromMs) / MINUTE, 0);
  const breakMin = until(Number.POSITIVE_INFINITY);
  const breakLeadMin = fixed === undefined ? 0 : until(fixed.atMs);
  return {
    actual: {
      ...(started === undefined ? {} : { startedAtMs: started.atMs }),
      ...(fixed === undefined ? {} : { fixedAtMs: fixed.atMs }),
      ...(done === undefined ? {} : { doneAtMs: done.atMs }),
      ...(done?.timeUnknown === true ? { doneTimeUnknown: true as const } : {}),
      ...(breaks.length === 0 ? {} : { breakMin, breakLeadMin }),
      leader,
    },
  };
}

function descentOf({ settings: s }: TripState): ForecastInput['descent'] {
  if (s.descentMin !== undefined) return { kind: 'given', min: s.descentMin };
  if (s.descentKm === undefined) return { kind: 'given', min: UNKNOWN_DESCENT_MIN };
  return { kind: 'walk', km: s.descentKm, upM: s.descentUpM ?? 0, downM: s.descentDownM ?? 0 };
}

function departuresOf(
  state: TripState,
  days: readonly ForecastDay[],
  nowMs: number,
): Pick<ForecastInput, 'departures'> {
  const [first, last] = [days[0], days.at(-1)];
  if (state.shuttle === undefined || first === undefined || last === undefined) return {};
  // What has left takes nobody home.
  // The planned day's last one keeps its name for a week after it has gone.
  const plannedMs = days[downDay(state, days)]?.startMs ?? nowMs;
  const recentMs = Math.max(first.startMs, nowMs) - DAY_MS;
  const fromMs = Math.min(recentMs, Math.max(plannedMs, nowMs - 7 * DAY_MS));
  return { departures: departures(state.shuttle.timetable, fromMs, last.stopMs + DAY_MS) };
}
