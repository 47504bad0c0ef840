import { type Home, when } from '../../alarm/words/home.ts';
import { bothTimes } from '../../alarm/words/reader.ts';
import { saidMs } from '../../app/words/topout.ts';
import { type MeantDay, meantDays } from '../../forecast/meant-days.ts';
import type { Forecast } from '../../forecast/model.ts';
import type { Line } from '../../say/reply.ts';
import { clock } from '../../time/format.ts';
import { dayMonthIn, weekdayIn } from '../../time/in-language.ts';
import { wallTime } from '../../time/zone.ts';
import { isPastTop } from '../../trip/mode.ts';

/** The plan, a line a day, and when they are likely on top and back, without the party's own terms. */
export function planLines(h: Home, forecast: Forecast): Line[] {
  const { w, state, nowMs } = h;
  const span = ({ q50, q90 }: Forecast['topout']) =>
    Number.isFinite(q50) && Number.isFinite(q90)
      ? { likely: when(h, saidMs(state, q50)), late: when(h, saidMs(state, q90)) }
      : undefined;
  const top = isPastTop(state) ? undefined : span(forecast.topout);
  const back = span(forecast.trailhead);
  return [
    ...meantDays(state, forecast, nowMs).map((day) => nightIn(h, day, climbIn(h, day))),
    ...(top === undefined ? [] : [w.say('page.forecastTop', top)]),
    ...(back === undefined ? [] : [w.say('page.forecastBack', back)]),
  ];
}

function climbIn(h: Home, { startMs, pitches, over, night }: MeantDay): string {
  const { w, state, nowMs } = h;
  const day = dayIn(h, startMs);
  if (pitches === undefined) {
    const down = isPastTop(state) || night === undefined || night === state.pitches.length;
    return w.text(!over && down ? 'family.dayDown' : 'family.dayNone', { day });
  }
  const { from, to } = pitches;
  // A day that has begun began as it did, whatever was meant.
  const said = {
    day: startMs <= nowMs ? day : w.text('family.dayAt', { day, at: clockIn(h, startMs) }),
    from,
  };
  if (to === undefined) return w.text('family.dayFrom', said);
  return from === to ? w.text('family.dayOne', said) : w.text('family.dayPitches', { ...said, to });
}

/** `Sat 23 Aug: pitches 1 to 6. Night on the wall, after pitch 6`, where a night follows. */
function nightIn({ w }: Home, { night: n, likely, pitches }: MeantDay, day: string): string {
  if (n === undefined) {
    const open = pitches !== undefined && pitches.to === undefined;
    return open ? w.text('family.nightOpen', { day }) : day;
  }
  if (n === 0) return w.text('family.nightGround', { day });
  return w.text(likely ? 'family.nightLikely' : 'family.night', { day, n });
}

function dayIn({ w, state }: Home, atMs: number): string {
  const wall = wallTime(state.zone, atMs);
  return `${weekdayIn(w.language, wall)} ${dayMonthIn(w.language, wall)}`;
}

const clockIn = (h: Home, atMs: number) => bothTimes(h, h.own, atMs, clock(h.state.zone, atMs));
