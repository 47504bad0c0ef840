import { DEFAULTS } from '../../forecast/defaults.ts';
import { forecastInput } from '../../forecast/input.ts';
import type { App } from '../app.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Reply } from '../reply.ts';
import { look } from '../trips.ts';
import * as words from '../words/forecast.ts';
import { forecastOf, runLatest, withShuttle } from './run.ts';
import { standingLine } from './standing.ts';

/** When the party will be on top, and the odds for everything that binds. */
export async function topout(app: App, call: Call, details: boolean): Promise<Reply> {
  const { state } = await look(app, call);
  if (state.phase === 'down' || state.phase === 'closed') {
    return { lines: ['Everyone is down; nothing to forecast.', 'The times are in /log show.'] };
  }
  const forecast = await forecastOf(app, state, call.atMs);
  if (forecast === undefined) {
    throw new Refusal(['No topo yet, so no forecast.', '/topo load takes a CSV file.']);
  }
  const input = withShuttle(state, forecastInput(state, call.atMs), forecast.shuttle);
  const latest = input.cutoffs.length === 0 ? [] : await runLatest(app, input);
  const all = words.bounds(state, forecast);
  const top =
    state.phase === 'descending'
      ? `On top. Trailhead ${words.spanWords(state, forecast.trailhead, call.atMs)}.`
      : `Top-out ${words.spanWords(state, forecast.topout, call.atMs)}.`;
  return {
    lines: words.present([
      top,
      ...all.map((b, i) => words.boundWords(state, b, i === 0 && all.length > 1, call.atMs)),
      words.latestWords(state, latest, input.cutoffs, call.atMs),
      standingLine(state, forecast, call.atMs),
      state.phase === 'descending'
        ? undefined
        : `Trailhead ${words.spanWords(state, forecast.trailhead, call.atMs)}.`,
      words.shuttleWords(state, forecast, call.atMs),
      words.nightWords(forecast),
      ...words.hangingWords(state, forecast),
      ...words.assumptionWords(state, forecast),
      ...(details
        ? [...words.paceWords(state, forecast), ...originLines(state.settings.pace)]
        : []),
      words.CAUTION,
    ]),
    buttons: details
      ? []
      : [{ label: 'Details', press: { path: 'topout', options: { details: true } } }],
  };
}

/** Where the figures come from, the shakiest named first. */
function originLines(overrides: Readonly<Record<string, number>>): string[] {
  const own = Object.keys(overrides).length;
  const shaky = DEFAULTS.filter((d) => d.origin !== 'published' && !(d.name in overrides));
  return [
    `${DEFAULTS.length} figures stand behind this: ${own} your own, ${shaky.length} of ours without a published source.`,
    'They and their origins: /trip pace. Your own pitches overrule them quickly.',
  ];
}
