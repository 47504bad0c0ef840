import { type LeadTimes, leadTimes } from '../../src/forecast/lead-times.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { wayOf } from '../../src/forecast/ways.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { overCeiling, styleOf } from '../../src/trip/rotation.ts';
import { type PitchState, personById, type TripState } from '../../src/trip/state.ts';
import { ledIn, type Style } from '../../src/trip/topo.ts';

/** Times of the leads to come, each climber in the faster style within their ceilings. */
export interface StyledTimes {
  times: LeadTimes;
  /** By [lead][climber]; undefined where the topo leaves no choice, or somebody has chosen. */
  styles: (Style | undefined)[][];
}

/** How long every lead would take, with the style of each where there is a choice. */
export function styledTimes(state: TripState, base: ForecastInput): StyledTimes {
  const usual = timesIn(state, base, undefined);
  if (!state.pitches.some((p) => isOpen(state, p)))
    return { times: usual, styles: usual.minutes.map(() => []) };
  const by = { free: timesIn(state, base, 'free'), aid: timesIn(state, base, 'aid') };
  const styles = usual.minutes.map((row, i) => {
    const own = pitchesOf(state, usual, i);
    return row.map((_, climber): Style | undefined => {
      if (!own.some((p) => isOpen(state, p))) return undefined;
      const id = base.climbers[climber]?.id ?? '';
      const may = (['free', 'aid'] as const).filter((style) => within(state, own, id, style));
      const minutes = (style: Style) => by[style].minutes[i]?.[climber] ?? 0;
      if (may.length < 2) return may[0] ?? styleOf(state, own[0] as PitchState, id);
      return minutes('aid') < minutes('free') ? 'aid' : 'free';
    });
  });
  const minutes = usual.minutes.map((row, i) =>
    row.map((min, climber) => {
      const style = styles[i]?.[climber];
      return style === undefined ? min : (by[style].minutes[i]?.[climber] ?? min);
    }),
  );
  return { times: { ...usual, minutes }, styles };
}

/** Records the style of each lead where the topo leaves a choice and nobody has chosen. */
export function styleDrafts(
  state: TripState,
  times: LeadTimes,
  chosen: readonly (Style | undefined)[],
): Draft[] {
  return chosen.flatMap((style, i) =>
    style === undefined
      ? []
      : pitchesOf(state, times, i)
          .filter((p) => isOpen(state, p))
          .map((p): Draft => ({ kind: 'lead.styled', data: { pitch: p.number, style } })),
  );
}

/** ` on aid`, after the name of whoever leads; empty where nothing was chosen. */
export function styleWords(drafts: readonly Draft[], pitch: number): string {
  const styled = drafts.find((d) => d.kind === 'lead.styled' && d.data.pitch === pitch);
  if (styled?.kind !== 'lead.styled') return '';
  return styled.data.style === 'aid' ? ' on aid' : ' free';
}

function isOpen(state: TripState, pitch: PitchState): boolean {
  return pitch.either === true && !state.styles.has(pitch.number);
}

function timesIn(state: TripState, base: ForecastInput, style: Style | undefined): LeadTimes {
  const ways = state.pitches.map((pitch) =>
    base.climbers.map((c) => wayOf(state, pitch, c.id, state.styles.get(pitch.number) ?? style)),
  );
  return leadTimes(
    base,
    ways.map((row) => row.map((way) => way.gapSteps)),
    ways.map((row) => row.map(({ gapSteps: _gap, ...how }) => how)),
  );
}

function pitchesOf(state: TripState, times: LeadTimes, lead: number): PitchState[] {
  return state.pitches.slice((times.firstPitches[lead] ?? 1) - 1, times.lastPitches[lead]);
}

function within(state: TripState, own: readonly PitchState[], id: string, style: Style): boolean {
  const person = personById(state, id);
  return (
    person !== undefined && own.every((p) => overCeiling(person, ledIn(p, style)) === undefined)
  );
}
