import { type Home, when } from '../../alarm/words/home.ts';
import * as words from '../../app/words/forecast.ts';
import { dayLines } from '../../app/words/plan.ts';
import { isBranched, saidMs, topoutWords } from '../../app/words/topout.ts';
import { type MeantDay, meantDays } from '../../forecast/meant-days.ts';
import type { Forecast } from '../../forecast/model.ts';
import type { Line } from '../../say/reply.ts';
import { dayMonthIn, weekdayIn } from '../../time/in-language.ts';
import { wallTime } from '../../time/zone.ts';
import { isPastTop } from '../../trip/mode.ts';

/** The plan, a line a day, and when they are back: in English in the party's own words, else as the catalogue has it. */
export function planLines(h: Home, forecast: Forecast): Line[] {
  const { w, state, nowMs } = h;
  const past = isPastTop(state);
  if (w.language === 'en') {
    return [
      ...dayLines(state, forecast, nowMs),
      ...(past || !isBranched(forecast) ? [] : [topoutWords(state, forecast, nowMs)]),
      `Back at the trailhead ${words.spanWords(state, forecast.trailhead, nowMs)}.`,
    ];
  }
  const span = ({ q50, q90 }: Forecast['topout']) =>
    Number.isFinite(q50) && Number.isFinite(q90)
      ? { likely: when(h, saidMs(state, q50)), late: when(h, saidMs(state, q90)) }
      : undefined;
  const [top, back] = [past ? undefined : span(forecast.topout), span(forecast.trailhead)];
  return [
    ...meantDays(state, forecast, nowMs).map((day) => dayIn(h, day)),
    ...(top === undefined ? [] : [w.say('page.forecastTop', top)]),
    ...(back === undefined ? [] : [w.say('page.forecastBack', back)]),
  ];
}

function dayIn({ w, state }: Home, { startMs, pitches, over, night }: MeantDay): Line {
  const wall = wallTime(state.zone, startMs);
  const day = `${weekdayIn(w.language, wall)} ${dayMonthIn(w.language, wall)}`;
  if (pitches === undefined) {
    const down = isPastTop(state) || night === undefined || night === state.pitches.length;
    return w.say(!over && down ? 'family.dayDown' : 'family.dayNone', { day });
  }
  const { from, to } = pitches;
  if (to === undefined) return w.say('family.dayFrom', { day, from });
  return from === to
    ? w.say('family.dayOne', { day, from })
    : w.say('family.dayPitches', { day, from, to });
}
