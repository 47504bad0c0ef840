import { walkMin } from '../../forecast/walking/din33466.ts';
import { dayClock, duration } from '../../time/format.ts';
import { POINT_WORDS } from '../../trip/kinds/descent.ts';
import { atStance, openRetreat, stanceOf, stanceWords } from '../../trip/kinds/retreat.ts';
import { whoWords } from '../../trip/kinds/trouble.ts';
import { type Mode, modeOf, type Waiting } from '../../trip/mode.ts';
import { isSplit, type Part, partsOf } from '../../trip/parts.ts';
import { signWords } from '../../trip/signs.ts';
import { currentPitch, type TripState } from '../../trip/state.ts';
import { frontTopMs, ropeMarks, ropesBelow, ropesOf } from '../../trip/two-ropes.ts';
import type { Sign } from '../../trip/watch-state.ts';

/** What the party does now, in one line; and which of them are elsewhere. */
export function modeWords(state: TripState, nowMs: number): string {
  const words = partyModeWords(state, nowMs);
  const over = state.downAtMs !== undefined || state.closedAtMs !== undefined;
  if (over || !isSplit(state)) return words;
  const [first, ...others] = partsOf(state);
  return [`${whoWords(state, first?.who ?? [])}: ${words}`, ...others.map(partWords)].join(' ');

  function partWords({ who, sinceMs }: Part): string {
    const retreat = openRetreat(state, who);
    const at = (ms: number) => dayClock(state.zone, ms, nowMs);
    const since = sinceMs === undefined ? '' : ` since ${at(sinceMs)}`;
    return retreat === undefined
      ? `${whoWords(state, who)}: on their own${since}.`
      : `${whoWords(state, who)}: ${lowerFirst(retreatWords({ is: 'retreating', retreat }, at))}`;
  }
}

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function partyModeWords(state: TripState, nowMs: number): string {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const mode = modeOf(state, nowMs);
  switch (mode.is) {
    case 'preparing':
      return 'Preparing; not departed yet.';
    case 'going in':
      return `Departed ${at(mode.sinceMs)}, going in; the first pitch isn't begun.`;
    case 'climbing': {
      const left = state.departedAtMs === undefined ? '' : `Departed ${at(state.departedAtMs)}. `;
      return `${left}${progressWords(state, at)}${behindWords(state, at)}`;
    }
    case 'settled': {
      const { pitch, sinceMs, untilMs } = mode.night;
      const until = untilMs === undefined ? '' : `, until ${at(untilMs)}`;
      return `Settled for the night ${atStance(pitch)} since ${at(sinceMs)}${until}.`;
    }
    case 'waiting':
      return `${waitingWords(mode, at)} ${progressWords(state, at)}${behindWords(state, at)}`;
    case 'retreating':
      return retreatWords(mode, at);
    case 'going down':
      return goingDownWords(mode, at);
    case 'down':
      return `Everyone down ${at(mode.atMs)}.`;
    case 'closed':
      return `Closed ${at(mode.atMs)}.`;
  }
}

type At = (ms: number) => string;

const frontNames = (state: TripState): string => whoWords(state, ropesOf(state)[0] ?? []);

/** ` Behind, Ines and Greta: pitch 4 done 12:10.`; empty for a party on one rope. */
function behindWords(state: TripState, at: At): string {
  return ropeMarks(state)
    .map(({ rope, pitch, atMs }) => {
      const who = whoWords(state, ropesOf(state)[rope - 1] ?? []);
      return ` Behind, ${who}: pitch ${pitch} done ${at(atMs)}.`;
    })
    .join('');
}

/** `5 of 8 pitches done; pitch 6 under way.`; once the rope in front is up, who is. */
function progressWords(state: TripState, at: At): string {
  const frontMs = frontTopMs(state);
  if (frontMs !== undefined) return `${frontNames(state)} on top since ${at(frontMs)}.`;
  const current = currentPitch(state);
  const done = state.pitches.filter((p) => p.done !== undefined).length;
  const under = (current?.started ?? current?.fixed) === undefined ? 'next' : 'under way';
  const pitch = current === undefined ? '' : `; pitch ${current.number} ${under}`;
  return `${done} of ${state.pitches.length} pitches done${pitch}.`;
}

/** `Waiting for the wet rock until Fri 11:00, since 11:00.` */
function waitingWords({ why, sinceMs, untilMs, words }: Waiting, at: At): string {
  const forWhat = {
    rain: ': it rains',
    'wet rock': ' for the rock to dry',
    weather: ' for the weather',
    other: '',
  }[why];
  const until = untilMs === undefined ? '' : ` until ${at(untilMs)}`;
  const said = words === undefined ? '' : `: “${words}”`;
  return `Waiting${forWhat}${until}, since ${at(sinceMs)}${said}.`;
}

function retreatWords({ retreat, point }: Extract<Mode, { is: 'retreating' }>, at: At): string {
  const here = stanceOf(retreat);
  const down = `Coming down since ${at(retreat.sinceMs)}, from ${stanceWords(retreat.fromPitch)}`;
  if (point !== undefined) return `${down}; ${POINT_WORDS[point]}.`;
  const last = retreat.rappels.length === 0 ? '' : `; ${atStance(here.pitch)} at ${at(here.atMs)}`;
  return `${down}${last}.`;
}

function goingDownWords(mode: Extract<Mode, { is: 'going down' }>, at: At): string {
  const { point, pointMs = mode.sinceMs } = mode;
  const top =
    pointMs === mode.sinceMs && point !== undefined
      ? 'On the way down'
      : `Topped out ${at(mode.sinceMs)}; on the way down`;
  return point === undefined ? `${top}.` : `${top}; ${POINT_WORDS[point]} ${at(pointMs)}.`;
}

/**
 * What was heard, as somebody at home understands it: the top and the way down instead of the number
 * of a pitch, and a retreat as coming down, with since when.
 */
export function heardWords(state: TripState, sign: Sign, nowMs: number): string {
  const reached = topWords(state, sign);
  if (reached !== undefined) return reached;
  const retreat = openRetreat(state);
  if (retreat === undefined || sign.atMs < retreat.sinceMs) return signWords(state, sign);
  const since = dayClock(state.zone, retreat.sinceMs, nowMs);
  const more = sign.seq === retreat.seq ? '' : `; ${signWords(state, sign)}`;
  return `coming down since ${since}${more}`;
}

/** Who reached the top with that post; undefined where nobody did. They go down when all are up. */
function topWords(state: TripState, sign: Sign): string | undefined {
  const behind = state.ropeMarks.find((m) => m.seq === sign.seq);
  if (behind !== undefined && behind.pitch === state.pitches.length) {
    const who = whoWords(state, ropesOf(state)[behind.rope - 1] ?? []);
    const down = ropesBelow(state).length === 0 ? usualWayDown(state) : '';
    return `${who} reached the top as well${down}`;
  }
  if (state.pitches.at(-1)?.done?.seq !== sign.seq) return undefined;
  return ropeMarks(state).length > 0
    ? `${frontNames(state)} reached the top`
    : `reached the top${usualWayDown(state)}`;
}

/** `, usual way down 2 h`: the party's own figure, or by the walking rule; empty where neither is given. */
function usualWayDown({ settings: s }: TripState): string {
  if (s.descentMin !== undefined) return `, usual way down ${duration(s.descentMin)}`;
  if (s.descentKm === undefined) return '';
  const min = walkMin({ km: s.descentKm, upM: s.descentUpM ?? 0, downM: s.descentDownM ?? 0 });
  return `, way down about ${duration(Math.ceil(min / 5) * 5)} by the walking rule`;
}
