import type { QuickForecast } from '../forecast/forecast.ts';
import { forecastInput } from '../forecast/input.ts';
import { paceLearnt } from '../forecast/pace-learnt.ts';
import type { Loaded } from '../record/records.ts';
import { effective } from '../trip/effective.ts';
import type { Draft, Fact } from '../trip/fact.ts';
import { fold } from '../trip/fold.ts';
import type { TripState } from '../trip/state.ts';
import type { PitchData } from '../trip/topo.ts';
import type { App } from './app.ts';
import { runQuick } from './forecast/run.ts';

/** Of a record, what holds on the next wall too: the trip's own facts, and who they are. */
const PEOPLE_AND_TRIP = /^(trip\.(opened|edited)|roster\.)/;

/**
 * The same people, with what they have learnt, below another topo: nothing is recorded. Undefined where nothing was
 * told that teaches a pace.
 */
export function nextWall(
  { row, history, state }: Loaded,
  pitches: readonly PitchData[],
  nowMs: number,
): TripState | undefined {
  const pace = paceLearnt(state);
  if (pace === undefined) return undefined;
  const kept = effective(history).facts.filter(({ kind }) => PEOPLE_AND_TRIP.test(kind));
  const drafts: Draft[] = [
    // What was learnt is against our own figures; their first day has passed.
    { kind: 'trip.edited', data: { settings: { pace: {}, firstDay: null, party: null } } },
    { kind: 'topo.loaded', data: { pitches: [...pitches] } },
    { kind: 'pace.taken', data: pace },
  ];
  const added = drafts.map((draft, i) => ({
    ...draft,
    trip: row.id,
    seq: state.seq + 1 + i,
    id: `next-${i}`,
    atMs: nowMs,
    recordedAtMs: nowMs,
    by: state.openedBy,
  }));
  return fold(row.id, [...kept, ...(added as Fact[])]);
}

/** How the climb goes when no night is planned: as far each day as the hours and the pace let. */
export function asPaceLets(
  app: Pick<App, 'clock' | 'forecasts'>,
  state: TripState,
  nowMs: number,
): Promise<QuickForecast> {
  return runQuick(app, forecastInput({ ...state, bivyPlan: [] }, nowMs));
}
