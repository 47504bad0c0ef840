import { type Options, sub } from '../../src/app/command.ts';
import { latestFrom } from '../../src/app/forecast/latest.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { judgedLine } from '../../src/app/forecast/standing.ts';
import { pictured } from '../../src/app/pictures.ts';
import * as words from '../../src/app/words/forecast.ts';
import { lastRopeWords } from '../../src/app/words/lead.ts';
import { paceWords } from '../../src/app/words/pace.ts';
import { shuttleWords } from '../../src/app/words/shuttle.ts';
import { isBranched, silenceWords } from '../../src/app/words/topout.ts';
import { rainWords } from '../../src/app/words/weather.ts';
import { DEFAULTS } from '../../src/forecast/defaults.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import type { Forecast } from '../../src/forecast/model.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { isOver, isPastTop, isPause, modeOf } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';
import { latestWords } from './latest.ts';
import { assumptionWords, earlyWords, hangingTable, hangingWords, isQuiet } from './words.ts';

const options = {
  details: { type: 'boolean', description: 'With the pace learnt and where figures come from' },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    topout: typeof options;
  }
}

export const topout = sub({
  description: 'When the party will be on top, and the odds for everything that binds',
  access: 'look',
  counts: ['forecast'],
  options,
  async run(call, args, app) {
    const { state } = await look(app, call);
    if (isOver(state)) {
      return { lines: ['Everyone is down; nothing to forecast.', 'The times are in /log show.'] };
    }
    const mode = modeOf(state, call.atMs);
    const down = words.comingDownLines(state, call.atMs);
    if (down !== undefined) return { lines: down };
    const forecast = await forecastOf(app, state, call.atMs);
    if (forecast === undefined) {
      throw new Refusal('no-topo', [
        'No topo yet, so no forecast.',
        '/topo load takes a CSV file.',
      ]);
    }
    const kept = await latestFrom(app, state, forecast, call.atMs);
    const latest = latestWords(state, kept, call.atMs, stillLikely(state, forecast));
    const lines = words.present([
      words.troubleCaution(state),
      words.headline(state, forecast, call.atMs),
      lastRopeWords(state, call.atMs),
      silenceWords(state, forecast, call.atMs),
      rainWords(state, forecast, call.atMs),
      otherBounds(state, forecast, call.atMs),
      latest,
      judgedLine(state, forecast, call.atMs, latest !== undefined),
      wayHome(state, forecast, call.atMs),
      words.nightWords(state, forecast, call.atMs),
      // A night or a wait at a stance is no hanging there.
      ...(isQuiet(state, call.atMs) || isPause(mode) ? [] : hangingWords(state, forecast)),
      ...assumptionWords(state, forecast, forecastInput(state, call.atMs), call.atMs),
    ]);
    if (args.details === true) return inDetail(state, forecast, lines, call.atMs);
    return {
      lines: [...lines, words.CAUTION],
      buttons: [{ label: 'Details', press: { path: 'topout', options: { details: true } } }],
      ...(await pictured(app, state, forecast, call.atMs)),
    };
  },
});

/** The early end, the pace learnt, where the figures come from, and who hangs where for how long. */
function inDetail(
  state: TripState,
  forecast: Forecast,
  lines: readonly string[],
  nowMs: number,
): Reply {
  const hanging = hangingTable(state, forecast);
  return {
    lines: words.present([
      ...lines,
      earlyWords(state, forecast, nowMs),
      ...paceWords(state, forecast),
      ...originLines(state.settings.pace),
      hanging && 'Hanging at the stance after each pitch, h:min in the middle:',
    ]),
    ...(hanging === undefined ? {} : { table: hanging }),
    after: [words.CAUTION],
  };
}

/** Cutoffs named below the first line; the rest are in /cutoff show. */
const OTHERS = 2;

function otherBounds(state: TripState, forecast: Forecast, nowMs: number): string | undefined {
  const all = words.bounds(state, forecast);
  const first = words.leading(all);
  const others = all.filter((b) => !first.includes(b));
  if (others.length === 0) return undefined;
  const more = others.length > OTHERS ? ` ${others.length - OTHERS} more: /cutoff show` : '';
  const named = others.slice(0, OTHERS).map((b) => words.boundWords(state, b, b.binds, nowMs));
  return `${named.join(' ')}${more}`;
}

/** `Trailhead 14:45 (cautious 18:47). On the boat 15:00 (cautious 19:00).` */
function wayHome(state: TripState, forecast: Forecast, nowMs: number): string | undefined {
  // Where the day of the top-out is open, so is that of the way home: the last shuttle's odds say it.
  if (!isPastTop(state) && isBranched(forecast)) return undefined;
  const down = isPastTop(state)
    ? undefined
    : `Trailhead ${words.spanWords(state, forecast.trailhead, nowMs)}.`;
  const line = words.present([down, shuttleWords(state, forecast, nowMs)]).join(' ');
  return line === '' ? undefined : line;
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

/**
 * After a silence a latest time may lie behind for a pitch that may be done untold: what is as likely as not by the
 * odds that are said isn't said to be lost.
 */
function stillLikely(state: TripState, forecast: Forecast): boolean {
  if (forecast.silence === undefined) return false;
  return words.bounds(state, forecast).some((b) => Math.max(b.chance, b.expected ?? 0) >= 0.5);
}
