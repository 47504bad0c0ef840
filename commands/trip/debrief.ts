import { stringify } from 'csv-stringify/sync';
import { importedLines } from '../../src/alarm/words/imported.ts';
import type { App } from '../../src/app/app.ts';
import { type Call, type FileArg, type Options, sub } from '../../src/app/command.ts';
import { asPaceLets, nextWall } from '../../src/app/next-wall.ts';
import { pictured } from '../../src/app/pictures.ts';
import { type SaidThen, saidOnTheWay } from '../../src/app/said-on-the-way.ts';
import { daysWords } from '../../src/app/words/days.ts';
import { oddsWords } from '../../src/app/words/odds.ts';
import { branchesOf, isBranched } from '../../src/app/words/topout.ts';
import { routeWords } from '../../src/app/words/trip.ts';
import { LIMITS } from '../../src/limits.ts';
import type { Loaded } from '../../src/record/records.ts';
import { lookBack } from '../../src/record/trips.ts';
import { fileName, textFile } from '../../src/say/message.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { FileOut, Table } from '../../src/say/reply.ts';
import { typedText } from '../../src/say/typed.ts';
import { dayClock, duration, WEEKDAYS } from '../../src/time/format.ts';
import { daysBetween, localDay, weekdayOf } from '../../src/time/zone.ts';
import { type Debrief, debriefOf, type PitchTaken } from '../../src/trip/debrief.ts';
import { openRetreat, stanceWords } from '../../src/trip/kinds/retreat.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';

const options = {
  topo: {
    type: 'file',
    description: 'The topo of a wall to come: how many days and nights it takes at this pace',
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip debrief': typeof options;
  }
}

/** Planned against actual, where the time went, and what had been said on the way. */
export const debrief = sub({
  description: 'How it went: planned and actual, where the time went, what was forecast',
  access: 'look',
  options,
  async run(call, { topo }, app) {
    const loaded = await lookBack(app, call);
    const { state } = loaded;
    const made = debriefOf(state, state.closedAtMs ?? call.atMs);
    if (made === undefined) {
      throw new Refusal('nothing-told', [
        'No pitch was told yet, so there is nothing to look back on.',
        ['When one is done: ', { code: '/pitch done' }],
      ]);
    }
    const said = await saidOnTheWay(app, loaded);
    const next = topo === undefined ? [] : await nextWords(app, call, loaded, topo);
    const at = timesOf(state, made);
    return {
      lines: [
        `${state.name}: ${routeWords(state)}`,
        wholeWords(state, made, at),
        ...plannedWords(state, made, at),
        `Where the time went: ${spentWords(made)}.`,
        ...slowestWords(made),
        ...(made.hung.length === 0
          ? []
          : [
              `At hanging stances: ${made.hung.map((h) => `${h.name} ${h.atMost ? 'at most ' : ''}${duration(h.min)}`).join(', ')}.`,
            ]),
        ...said.map((s) => saidWords(s, made, state, at)),
        ...next,
      ],
      table: pitchTable(state, made.pitches, at),
      after: [
        ...importedLines(state, call.atMs),
        'Times as told; "led" is up to the line fixed, without nights, waits and breaks.',
        'One wall says little of another: rock, weather and people differ.',
      ],
      files: [
        csvOf(state, made),
        ...((await pictured(app, state, undefined, call.atMs)).files ?? []),
      ],
    };
  },
});

/** What this pace means for another topo. */
async function nextWords(app: App, call: Call, loaded: Loaded, topo: FileArg): Promise<string[]> {
  const pitches = await app.reading.readTopo(
    await topo.bytes(LIMITS.topoBytes),
    loaded.state.units,
  );
  const next = nextWall(loaded, pitches, call.atMs);
  if (next === undefined) return ['Nothing was told here that teaches a pace for that topo.'];
  const forecast = await asPaceLets(app, next, call.atMs);
  return [
    `${pitches.length} pitches of ${topo.name.slice(0, LIMITS.nameLength)} at this pace, widened: ${daysWords(next, forecast)}.`,
    `To plan it with this pace: /trip open pace_from:${typedText(loaded.state.name)}`,
  ];
}

type At = (ms: number) => string;

/** A trip of several days is read later: every time has its day. */
function timesOf({ zone }: TripState, { fromMs, toMs }: Debrief): At {
  const isOneDay = daysBetween(localDay(zone, fromMs), localDay(zone, toMs)) === 0;
  return (ms) => dayClock(zone, ms, isOneDay ? fromMs : ms + DAY_MS);
}

function wholeWords(state: TripState, { fromMs, toMs, toppedMs }: Debrief, at: At): string {
  const down = state.downAtMs !== undefined;
  const back = openRetreat(state);
  const parts = [
    `${state.departedAtMs === undefined ? 'First told' : 'Departed'} ${at(fromMs)}`,
    ...(toppedMs === undefined ? [] : [`top ${at(toppedMs)}`]),
    ...(back === undefined
      ? []
      : [`turned back ${at(back.sinceMs)} from ${stanceWords(back.fromPitch)}`]),
    down ? `down ${at(toMs)}` : 'not down yet',
  ];
  return `${parts.join(', ')}: ${duration((toMs - fromMs) / 60_000)}${down ? ' in all' : ' so far'}.`;
}

function plannedWords(state: TripState, { toppedMs }: Debrief, at: At): string[] {
  const planned = state.schedule?.checkpoints.at(-1)?.plannedMs;
  if (planned === undefined || toppedMs === undefined) return [];
  const lateMin = Math.round((toppedMs - planned) / 60_000);
  const against =
    lateMin === 0 ? 'to the minute' : `${duration(lateMin)} ${lateMin > 0 ? 'later' : 'sooner'}`;
  return [`The schedule had the top at ${at(planned)}: it was ${against}.`];
}

/** What each share of the time is called; largest first in what is said. */
const SHARE: Record<keyof Debrief['spent'], string> = {
  approach: 'approach',
  leading: 'leading',
  following: 'following and hauling',
  pitches: 'pitches',
  changeovers: 'changeovers',
  nights: 'nights',
  waiting: 'waiting and breaks',
  retreating: 'retreating',
  lastRope: 'the last rope coming up',
  wayDown: 'way down',
  untold: 'not told',
};

function spentWords({ spent }: Debrief): string {
  return (Object.keys(SHARE) as (keyof typeof SHARE)[])
    .filter((key) => Math.round(spent[key]) > 0)
    .sort((a, b) => spent[b] - spent[a])
    .map((key) => `${SHARE[key]} ${duration(spent[key])}`)
    .join(', ');
}

const DAY_MS = 86_400_000;
const SLOWEST = 2;

/** The pitches that took longest, which is where the next wall can be quicker. */
function slowestWords({ pitches }: Debrief): string[] {
  const timed = pitches.filter((p) => p.tookMin !== undefined);
  if (timed.length <= SLOWEST) return [];
  const slow = timed.sort((a, b) => (b.tookMin ?? 0) - (a.tookMin ?? 0)).slice(0, SLOWEST);
  return [`Longest: ${slow.map((p) => `${stretch(p)}, ${duration(p.tookMin ?? 0)}`).join('; ')}.`];
}

/** `pitch 4`, or `pitches 13–14` where they were told in one go. */
function stretch({ from, pitch }: PitchTaken): string {
  return from === undefined ? `pitch ${pitch}` : `pitches ${from}–${pitch}`;
}

function saidWords(
  { done, atMs, q10, q50, q90, days }: SaidThen,
  { toppedMs }: Debrief,
  state: TripState,
  at: At,
): string {
  const when =
    done === 0 ? 'At the departure' : `With ${done} of ${state.pitches.length} done, ${at(atMs)}`;
  const off =
    toppedMs === undefined
      ? ''
      : toppedMs < q10
        ? '; it was sooner than that'
        : toppedMs > q90
          ? '; it was later than that'
          : '';
  // Between two days lies no median: each is named with its odds.
  const top = isBranched({ days })
    ? branchesOf(days).map((d) => `${dayOf(state, d.topout.q50)} ${oddsWords(d.chance, state)}`)
    : [at(q50)];
  return `${when}: top-out ${top.join(', ')}; 8 in 10 within ${at(q10)} to ${at(q90)}${off}.`;
}

/** `Thu`. */
function dayOf({ zone }: TripState, ms: number): string {
  return WEEKDAYS[weekdayOf(localDay(zone, ms)) - 1] ?? '';
}

function pitchTable(state: TripState, pitches: readonly PitchTaken[], at: At): Table {
  const min = (m: number | undefined) => (m === undefined ? '-' : hours(m));
  return {
    head: ['', 'leader', 'led', 'took', 'done', 'late'],
    align: ['right', 'left', 'right', 'right', 'right', 'right'],
    durations: [2, 3, 5],
    rows: climbed(shown(pitches)).map((p) => [
      p.from === undefined ? String(p.pitch) : `${p.from}–${p.pitch}`,
      p.leader === undefined ? '-' : nameOf(state, p.leader).slice(0, 8),
      min(p.leadMin),
      min(p.tookMin),
      p.doneMs === undefined ? '-' : at(p.doneMs),
      p.doneMs === undefined || p.plannedMs === undefined
        ? '-'
        : signed((p.doneMs - p.plannedMs) / 60_000),
    ]),
  };
}

/** A pitch whose figures stand with a later one has no row of its own. */
function shown(pitches: readonly PitchTaken[]): PitchTaken[] {
  const within = new Set(
    pitches.flatMap(({ from, pitch }) =>
      from === undefined ? [] : Array.from({ length: pitch - from }, (_, i) => from + i),
    ),
  );
  return pitches.filter((p) => !within.has(p.pitch));
}

/** Up to the highest pitch that anything was told of: what was never climbed has no rows. */
function climbed(pitches: readonly PitchTaken[]): readonly PitchTaken[] {
  const told = (p: PitchTaken) => p.doneMs !== undefined || p.leadMin !== undefined;
  return pitches.slice(0, pitches.findLastIndex(told) + 1);
}

/** `1:05`: a length, never to be read as a clock beside one that says so. */
function hours(min: number): string {
  const whole = Math.round(Math.abs(min));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

function signed(min: number): string {
  return `${Math.round(min) < 0 ? '-' : '+'}${hours(min)}`;
}

/** The pitches as a spreadsheet takes them: RFC 4180, times as ISO 8601; a cell never begins a formula. */
function csvOf(state: TripState, { pitches }: Debrief): FileOut {
  const iso = (ms: number | undefined) => (ms === undefined ? '' : new Date(ms).toISOString());
  const whole = (m: number | undefined) => (m === undefined ? '' : Math.round(m));
  const rows = pitches.map((p) => ({
    pitch: p.pitch,
    leader: p.leader === undefined ? '' : nameOf(state, p.leader),
    lead_min: whole(p.leadMin),
    follow_min: whole(p.followMin),
    took_min: whole(p.tookMin),
    changeover_min: whole(p.changeoverMin),
    done: iso(p.doneMs),
    planned: iso(p.plannedMs),
  }));
  const text = stringify(rows, {
    header: true,
    record_delimiter: 'windows',
    escape_formulas: true,
  });
  return textFile(`debrief-${fileName(state.name)}.csv`, 'text/csv', text);
}
