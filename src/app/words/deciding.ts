import type { QuickForecast } from '../../forecast/forecast.ts';
import type { Button, Table } from '../../say/reply.ts';
import { clock, WEEKDAYS } from '../../time/format.ts';
import { daysBetween, localDay, weekdayOf } from '../../time/zone.ts';
import type { TripState } from '../../trip/state.ts';
import type { WayBack } from '../way-back.ts';
import { oddsWords, riskWords } from './odds.ts';
import { branchesOf, isBranched, saidMs } from './topout.ts';

/** What a cell says of what a way hasn't got. */
export const NO = '-';

/** One way from here, as a column: cells short enough for three beside each other on a phone. */
export interface Way {
  name: string;
  /** When they are on top, or the first day on which they may be, with its chance. */
  up: string;
  /** At the trailhead or the stop, nine times in ten by then. */
  out: string;
  /** The planned day's last shuttle; on the way down the day's. */
  boat: string;
  bed: string;
  /** The chance of being caught on the wall. */
  rain: string;
  /** Until when it can be chosen. */
  by: string;
  isTimed?: boolean;
  why: string[];
  button?: Button;
}

/** `09:25`, `Sat 09:25`: a time within a week. */
export function briefClock({ zone }: TripState, ms: number, nowMs: number): string {
  const day = dayWord(zone, ms, nowMs);
  return `${day}${day === '' ? '' : ' '}${clock(zone, ms)}`;
}

/** `Sat`; nothing today. */
function dayWord(zone: string, ms: number, nowMs: number): string {
  const day = localDay(zone, ms);
  return daysBetween(localDay(zone, nowMs), day) === 0
    ? ''
    : (WEEKDAYS[weekdayOf(day) - 1] as string);
}

/** `less than 1 in 20` is too long for a cell. */
const short = (odds: string) => odds.replace('less than ', '<');

/** What a forecast says of a way. */
export function forecastCells(
  state: TripState,
  quick: QuickForecast,
  nowMs: number,
): Pick<Way, 'up' | 'out' | 'boat' | 'bed' | 'rain'> {
  const { zone } = state;
  const time = (ms: number) =>
    Number.isFinite(ms) ? briefClock(state, saidMs(state, ms), nowMs) : 'no end';
  const [first] = branchesOf(quick.days);
  const up =
    first !== undefined && isBranched(quick)
      ? `${dayWord(zone, first.topout.q50, nowMs) || 'today'} ${short(oddsWords(first.chance, state))}`
      : time(quick.topout.q50);
  const { shuttle, nextNight, nights, rain } = quick;
  const lost = shuttle !== undefined && (shuttle.chanceLast === 0 || shuttle.lastMs <= nowMs);
  const boatDay = shuttle === undefined ? '' : dayWord(zone, shuttle.lastMs, nowMs);
  const odds =
    shuttle === undefined ? NO : lost ? 'lost' : short(oddsWords(shuttle.chanceLast, state));
  return {
    up,
    out: time(quick.trailhead.q90),
    boat: `${boatDay} ${odds}`.trim(),
    bed:
      nextNight === undefined || (nights[0] ?? 0) >= 0.5
        ? NO
        : nextNight.pitch === 0
          ? 'ground'
          : `after ${nextNight.pitch}`,
    rain: rain === undefined ? NO : short(riskWords(rain.caught)),
  };
}

/** The last shuttle of the day on which they are down, with its odds; when that has gone, the next one. */
export function boatCell(
  state: TripState,
  { ground, stop, last, nextMs }: WayBack,
  nowMs: number,
): string {
  if (last === undefined || nextMs === undefined) return NO;
  const thereMs = (stop ?? ground).q50;
  const sameDay = daysBetween(localDay(state.zone, thereMs), localDay(state.zone, nextMs)) === 0;
  if (!sameDay) return briefClock(state, nextMs, nowMs);
  return `${dayWord(state.zone, last.atMs, nowMs)} ${short(oddsWords(last.chance, state))}`.trim();
}

/** Three columns stand beside a label of so many letters, by the 12-hour clock too. */
const LABEL_MOST = 5;

/** What the row of the last shuttle is called. */
export function shuttleLabel({ shuttle }: TripState): string {
  return shuttle !== undefined && shuttle.name.length <= LABEL_MOST ? shuttle.name : 'last';
}

/** The ways side by side; a row that says nothing of any is left out. */
export function wayTable(state: TripState, ways: readonly Way[]): Table {
  const boat = shuttleLabel(state);
  const rows = [
    ['up', ...ways.map((w) => w.up)],
    ['out', ...ways.map((w) => w.out)],
    [boat, ...ways.map((w) => w.boat)],
    ['bed', ...ways.map((w) => w.bed)],
    ['rain', ...ways.map((w) => w.rain)],
    ['go by', ...ways.map((w) => w.by)],
  ];
  return {
    head: ['', ...ways.map((w) => w.name)],
    align: ['left', 'left', 'left', 'left'],
    rows: rows.filter(([, ...cells]) => cells.some((cell) => cell !== NO)),
  };
}
