import { stricterThan, WET_ROCK_ADVICE, WET_ROCK_CAUTION } from '../../forecast/wet-rock/advice.ts';
import { wetRockHold } from '../../forecast/wet-rock/hold.ts';
import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Line, Reply } from '../reply.ts';
import { look } from '../trips.ts';
import { early, toldTime } from '../when.ts';
import * as words from '../words/forecast.ts';
import { changeTimeButton, undoButton } from '../words/post.ts';
import { forecastOf } from './run.ts';

/** Rain began or ended; the hold counts from its end. */
export function tellRain(
  app: App,
  call: Call,
  kind: 'rain.started' | 'rain.stopped',
  at: string | undefined,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const told = toldTime(state, call, at);
      const rain = state.rains.at(-1);
      if (kind === 'rain.stopped' && rain?.toMs === undefined && told.atMs < (rain?.fromMs ?? 0)) {
        throw new Refusal(
          early(state, 'The rain began', rain?.fromMs ?? 0, "it can't have ended", told.atMs),
        );
      }
      return [{ kind, data: {}, ...told }];
    },
    async answer({ after, events }) {
      const forecast = await forecastOf(app, after, call.atMs);
      const seq = events[0]?.seq ?? 0;
      return {
        lines: words.present([
          holdWords(after, call.atMs),
          forecast && words.headline(after, forecast, call.atMs),
          otherRockWords(after),
          WET_ROCK_CAUTION,
        ]),
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}

export async function showRain(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const hours = state.settings.wetHours;
  const stricter = stricterThan(hours);
  return {
    lines: [
      holdWords(state, call.atMs),
      ...words.present([otherRockWords(state)]),
      ...WET_ROCK_ADVICE.map((a) => `${a.text} (${a.source})`),
      ...(stricter.length === 0
        ? []
        : [`${stricter.length} of these ask for more than your ${hours} h.`]),
      WET_ROCK_CAUTION,
    ],
  };
}

/** The hold is for sandstone; on rock that keeps its strength a party sets its own. */
function otherRockWords({ settings }: TripState): Line | undefined {
  if (settings.wetHours === 0) return undefined;
  return ['The hours are for sandstone; for other rock: ', { code: '/trip edit wet_hours:0' }];
}

function holdWords(state: TripState, nowMs: number): string {
  const hours = state.settings.wetHours;
  const hold = wetRockHold(state.rains, hours, nowMs);
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  if (hold.state === 'raining') {
    const since = `Raining since ${at(hold.sinceMs)}.`;
    return hours === 0
      ? `${since} No wet-rock hold is set.`
      : `${since} ${hours} h without climbing count from its end: /rain stop`;
  }
  if (hold.state === 'holding') {
    return `Wet-rock hold until ${at(hold.untilMs)}: ${hours} h from the end of rain at ${at(hold.rainEndedMs)}.`;
  }
  return hours === 0
    ? 'No wet-rock hold is set.'
    : `No wet-rock hold now. It lasts ${hours} h from the end of rain.`;
}
