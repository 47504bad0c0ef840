import type { App } from '../../src/app/app.ts';
import { unlessCostly } from '../../src/app/forecast/costly.ts';
import { runQuick } from '../../src/app/forecast/run.ts';
import { exampleIn } from '../../src/app/weather/typed.ts';
import { headline, present } from '../../src/app/words/forecast.ts';
import {
  rainWords,
  sourceWords,
  weatherCutoffs,
  weatherLines,
} from '../../src/app/words/weather.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { isOver, modeOf } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import { weatherNow } from '../../src/trip/weather.ts';
import { holdWords } from '../rain/words.ts';

/** What is told, where it comes from, what it does to the climb, and a press for what may bind. */
export async function weatherCard(
  app: App,
  state: TripState,
  nowMs: number,
): Promise<{ lines: Line[]; buttons: Button[] }> {
  const weather = weatherNow(state, nowMs);
  if (weather === undefined) {
    return {
      lines: [
        'No weather is told for the time ahead.',
        ['Tell it: ', { code: `/weather set text:"${exampleIn(state.units)}"` }],
        holdWords(state, nowMs),
      ],
      buttons: [],
    };
  }
  const climbs = !isOver(state) && !['retreating', 'going down'].includes(modeOf(state, nowMs).is);
  const quick =
    !climbs || state.pitches.length === 0
      ? undefined
      : await unlessCostly(runQuick(app, forecastInput(state, nowMs)));
  const lines = present<Line>([
    ...weatherLines(state, weather, nowMs),
    `Source: ${sourceWords(state, weather, nowMs)}.`,
    quick && headline(state, quick, nowMs),
    quick && rainWords(state, quick, nowMs),
    ...(state.rains.length === 0 ? [] : [holdWords(state, nowMs)]),
  ]);
  return { lines, buttons: climbs ? weatherCutoffs(state, weather, nowMs) : [] };
}
