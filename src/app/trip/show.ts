import type { App } from '../app.ts';
import type { Call } from '../command.ts';
import { nextLines } from '../leading/show.ts';
import type { Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { settingsWords } from '../words/settings.ts';
import { missingWords, phaseWords, rosterWords, routeWords } from '../words/trip.ts';

export async function showTrip(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const missing = missingWords(state);
  const climbing = state.phase === 'preparing' || state.phase === 'climbing';
  return {
    lines: [
      `${state.name}: ${phaseWords(state, call.atMs)}`,
      `${routeWords(state)} ${rosterWords(state)}`,
      ...(climbing && state.pitches.length > 0 ? nextLines(state).slice(0, 1) : []),
      ...(missing.length === 0 ? [] : [`Still missing: ${missing.join(', ')}.`]),
      ...settingsWords(state).slice(1),
    ],
  };
}
