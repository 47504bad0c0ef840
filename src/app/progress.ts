import type { TripState } from '../trip/state.ts';
import type { App } from './app.ts';
import type { Line } from './reply.ts';
import { nextWords } from './words/lead.ts';

/** What a post means for the rest of the day, in one line: where the party stands and who is next. */
export async function progressLines(_app: App, state: TripState, _nowMs: number): Promise<Line[]> {
  const next = nextWords(state);
  return next === '' ? [] : [next];
}
