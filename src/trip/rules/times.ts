import { clock, dayClock } from '../../time/format.ts';
import type { Mark, PitchState, TripState } from '../state.ts';
import { mendOther, type No } from './no.ts';

const MARKS = ['started', 'fixed', 'done'] as const;
type MarkName = (typeof MARKS)[number];

/** Within a pitch: started, then fixed, then done. Equal times pass: radio words are rounded. */
export function* insidePitch(state: TripState): Generator<No> {
  for (const pitch of state.pitches) {
    let before: [MarkName, Mark] | undefined;
    for (const name of MARKS) {
      const mark = pitch[name];
      if (mark === undefined) continue;
      if (before !== undefined && mark.atMs < before[1].atMs) {
        yield insideNo(state, pitch.number, before, [name, mark]);
      }
      if (mark.timeUnknown !== true) before = [name, mark];
    }
  }
}

function insideNo(
  state: TripState,
  pitch: number,
  [earlier, first]: [MarkName, Mark],
  [later, second]: [MarkName, Mark],
): No {
  const [firstAt, secondAt] = both(state, first, second);
  return {
    rule: 'time-inside-pitch',
    text: `Pitch ${pitch} was ${earlier} at ${firstAt}, so it can't be ${later} at ${secondAt}.`,
    pitch,
    ...contradiction([first, firstAt], [second, secondAt]),
  };
}

/** What was told last is taken for the post just made, so the way out names the other. */
function contradiction(
  [a, aAt]: [Mark, string],
  [b, bAt]: [Mark, string],
): Pick<No, 'clash' | 'ways' | 'seq'> {
  const clash = [
    { seq: a.seq, shown: aAt },
    { seq: b.seq, shown: bAt },
  ] as const;
  const ways = [mendOther(clash, Math.max(a.seq, b.seq))];
  return { clash, ways, seq: Math.min(a.seq, b.seq) };
}

/** Two times, with the weekday when they fall on different days. */
function both(state: TripState, a: Mark, b: Mark): [string, string] {
  return [dayClock(state.zone, a.atMs, b.atMs), dayClock(state.zone, b.atMs, a.atMs)];
}

/** From pitch to pitch every kind of mark comes in order, and nobody starts before the line below is fixed. */
export function* betweenPitches(state: TripState): Generator<No> {
  const pairs: readonly (readonly [MarkName, MarkName])[] = [
    ['started', 'started'],
    ['fixed', 'fixed'],
    ['fixed', 'started'],
    ['done', 'done'],
  ];
  for (const [below, above] of pairs) {
    let last: { pitch: PitchState; mark: Mark } | undefined;
    for (const pitch of state.pitches) {
      const mark = pitch[above];
      if (mark !== undefined && last !== undefined && mark.atMs < last.mark.atMs) {
        const [lastAt, markAt] = both(state, last.mark, mark);
        yield {
          rule: 'time-before-previous-pitch',
          text:
            `Pitch ${last.pitch.number} was ${below} at ${lastAt}, so ` +
            `pitch ${pitch.number} can't be ${above} at ${markAt}.`,
          pitch: pitch.number,
          ...contradiction([last.mark, lastAt], [mark, markAt]),
        };
      }
      const here = pitch[below];
      // A latest time says nothing against an earlier one above.
      if (here !== undefined && here.timeUnknown !== true) last = { pitch, mark: here };
    }
  }
}

/** A told time may not lie ahead of now, a minute's slack apart. */
export function ahead(state: TripState, atMs: number, nowMs: number, slackMs: number): No[] {
  if (atMs <= nowMs + slackMs) return [];
  return [
    {
      rule: 'time-ahead',
      text: `${dayClock(state.zone, atMs, nowMs)} is still to come; it is ${clock(state.zone, nowMs)} at the wall.`,
      ways: ['Give the time it happened, like at:14:32 or at:-20m.'],
      atMs,
    },
  ];
}
