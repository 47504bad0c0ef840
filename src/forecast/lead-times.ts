import { compile } from './compile.ts';
import { expectedMin } from './legs.ts';
import type { ForecastInput, ForecastPitch } from './model.ts';

/** How a climber would climb a pitch. */
export type ClimbedAs = Pick<ForecastPitch, 'mode' | 'aidGrade'>;

function asClimbed(pitch: ForecastPitch, how: ClimbedAs | undefined): ForecastPitch {
  if (how === undefined) return pitch;
  const { aidGrade: _aid, ...rest } = pitch;
  return { ...rest, ...how };
}

/** Leads still to come, and how long each would take by leader. */
export interface LeadTimes {
  /** First pitch number of each lead; a link is one lead. */
  firstPitches: number[];
  /** Last pitch number of each lead. */
  lastPitches: number[];
  /** Expected minutes by [lead][climber], at the pace learnt so far; in daylight. */
  minutes: number[][];
}

/** A lead that was told begun, or fixed, has its leader. */
function isBegun({ pitches }: ForecastInput, index: number): boolean {
  const actual = pitches[index]?.actual;
  return (actual?.startedAtMs ?? actual?.fixedAtMs) !== undefined;
}

/**
 * How long every lead to come would take under each climber, all stages and the changeover included.
 *
 * @param gaps grade minus ceiling, in steps, by [pitch index][climber]; undefined when unknown
 * @param modes how each climber would climb each pitch, likewise; as the input has it when left out
 * @throws RangeError as `compile` does
 */
export function leadTimes(
  input: ForecastInput,
  gaps: readonly (readonly (number | undefined)[])[],
  modes: readonly (readonly ClimbedAs[])[] = [],
): LeadTimes {
  const columns = input.climbers.map((_, climber) => {
    const pitches = input.pitches.map((pitch, i) => {
      // Whoever has begun a pitch leads it; what it tells of the pace must not depend on who might.
      if (pitch.actual !== undefined) return pitch;
      const { gapSteps: _gap, ...rest } = pitch;
      const gap = gaps[i]?.[climber];
      return {
        ...asClimbed(rest, modes[i]?.[climber]),
        leader: climber,
        ...(gap === undefined ? {} : { gapSteps: gap }),
      };
    });
    const c = compile({ ...input, pitches }, false);
    return { c, minutes: expectedMin(c.legs, c.posterior) };
  });
  const first = columns[0];
  if (first === undefined) return { firstPitches: [], lastPitches: [], minutes: [] };
  const open = first.c.legs.flatMap((leg, k) =>
    k >= first.c.state.leg && !isBegun(input, leg.first) && !isBegun(input, leg.last) ? [k] : [],
  );
  const number = (index: number | undefined) => input.pitches[index ?? 0]?.number ?? 0;
  return {
    firstPitches: open.map((k) => number(first.c.legs[k]?.first)),
    lastPitches: open.map((k) => number(first.c.legs[k]?.last)),
    minutes: open.map((k) => columns.map((column) => column.minutes[k] as number)),
  };
}
