import type { Belief, TakenPace } from '../trip/kinds/pace.ts';
import { nameOf, type TripState } from '../trip/state.ts';
import { learn } from './compile.ts';
import {
  AID_EFFECT,
  CHANGEOVER_EFFECT,
  HAUL_EFFECT,
  leaderEffect,
  PARTY_EFFECT,
} from './effects.ts';
import { forecastInput } from './input.ts';

/** Beyond a factor of twenty nothing is carried over. */
const MOST = 3;

/**
 * What a trip has taught of the pace, against our own figures, so that it can be taken to the next; undefined where
 * nothing was told that teaches anything.
 */
export function paceLearnt(state: TripState): TakenPace | undefined {
  if (state.pitches.length === 0) return undefined;
  const told = state.pitches.flatMap((p) => [p.started, p.fixed, p.done].map((m) => m?.atMs ?? 0));
  // As it stood at the end: what came later teaches nothing.
  const endMs = Math.max(...told) + 60_000;
  const input = { ...forecastInput(state, endMs), settings: {} };
  const { observations, posterior } = learn(input);
  if (observations.length === 0) return undefined;
  const belief = (effect: number): Belief => ({
    mean: Math.min(MOST, Math.max(-MOST, posterior.mean[effect] as number)),
    sd: Math.min(MOST, Math.sqrt(Math.max(0, posterior.covariance[effect]?.[effect] as number))),
  });
  const led = input.climbers.map(({ id }, l) => ({ id, l }));
  const { party } = state.settings;
  return {
    from: state.name,
    stages: observations.length,
    ...(party === undefined ? {} : { class: party }),
    party: belief(PARTY_EFFECT),
    aid: belief(AID_EFFECT),
    haul: belief(HAUL_EFFECT),
    changeover: belief(CHANGEOVER_EFFECT),
    leaders: led.map(({ id, l }) => ({
      name: nameOf(state, id),
      free: belief(leaderEffect(l, false)),
      aid: belief(leaderEffect(l, true)),
    })),
  };
}
