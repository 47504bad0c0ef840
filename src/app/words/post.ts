import type { Button } from '../../say/reply.ts';
import { dayClock, duration } from '../../time/format.ts';
import type { Fact } from '../../trip/fact.ts';
import { kindOf } from '../../trip/kinds/index.ts';
import { pitchAt, type TripState } from '../../trip/state.ts';

/** `(told 14:32 by Greta)` when it was told later than it happened; empty otherwise. */
export function toldWords(state: TripState, event: Fact): string {
  if (event.recordedAtMs - event.atMs < 60_000) return '';
  const told = dayClock(state.zone, event.recordedAtMs, event.atMs);
  return ` (told ${told} by ${event.by.name})`;
}

/**
 * Minutes a pitch took, or a link from its first pitch on, breaks left out: from its start or the
 * completion below; undefined when unknown.
 */
export function tookMin(state: TripState, number: number, first = number): number | undefined {
  const from = pitchAt(state, first)?.started ?? pitchAt(state, first - 1)?.done;
  const to = pitchAt(state, number)?.done;
  if (from?.timeUnknown === true || to?.timeUnknown === true) return undefined;
  const [fromMs, toMs] = [from?.atMs, to?.atMs];
  if (fromMs === undefined || toMs === undefined) return undefined;
  const rested = state.breaks
    .filter((b) => b.pitch >= first && b.pitch <= number)
    .reduce((sum, b) => sum + (b.toMs - b.fromMs), 0);
  return Math.max(0, (toMs - fromMs - rested) / 60_000);
}

/** `2 h 05`; empty when unknown or over a night, when it would say nothing. */
export function tookWords(state: TripState, number: number, first = number): string {
  const min = tookMin(state, number, first);
  return min === undefined || min > 8 * 60 ? '' : duration(min);
}

/** An entry in a few words: `pitch 5 done at 14:22, Mara led`. */
export function entryWords(state: TripState, event: Fact, nowMs: number): string {
  const kind = kindOf(event.kind);
  const said = kind.say(event.data, state);
  if (kind.order !== 'happened') return said;
  const timed = !('timeUnknown' in event.data);
  const at = ` ${timed ? 'at' : 'by'} ${dayClock(state.zone, event.atMs, nowMs)}`;
  // The time goes after what happened and before who did it, never into somebody's own words.
  const comma = said.includes('“') ? -1 : said.indexOf(', ');
  return comma < 0 ? said + at : said.slice(0, comma) + at + said.slice(comma);
}

export function undoButton(seq: number): Button {
  return { label: 'Undo', press: { path: 'pitch strike', options: { entry: seq } } };
}

/** One button for all that was recorded in one go; none when that was nothing. */
export function undoButtons(events: readonly Fact[]): Button[] {
  const [first, second] = events;
  if (first === undefined) return [];
  if (second === undefined) return [undoButton(first.seq)];
  const options = { entry: first.seq, until: first.seq + events.length - 1 };
  return [{ label: 'Undo', press: { path: 'pitch strike', options } }];
}

export function changeTimeButton(seq: number): Button {
  return {
    label: 'Change the time',
    press: { path: 'pitch amend', options: { entry: seq } },
    ask: {
      title: 'Change the time',
      fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m, yesterday 22:40' }],
    },
  };
}
