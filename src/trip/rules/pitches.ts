import { clock } from '../../time/format.ts';
import type { Clash, PitchState, TripState } from '../state.ts';
import type { No } from './no.ts';

/** A pitch is done only when all below are; started or fixed only when the one below is at least fixed. */
export function* inSequence(state: TripState): Generator<No> {
  const top = state.pitches.findLast((p) => p.started ?? p.fixed ?? p.done);
  if (top === undefined) return;
  const doneTop = state.pitches.findLast((p) => p.done)?.number ?? 0;
  const missing = below(state, doneTop, (p) => p.done !== undefined);
  if (missing.length > 0) yield notDone(doneTop, missing);
  const unreached = below(state, top.number, (p) => (p.done ?? p.fixed) !== undefined);
  if (unreached.length > 0) {
    const mark = top.fixed === undefined ? 'started' : 'fixed';
    yield {
      rule: 'previous-not-reached',
      text: `${subject(unreached)} fixed or done yet, so ${top.number} can't be ${mark}.`,
      pitch: top.number,
      missing: unreached,
      mark,
    };
  }
}

function below(state: TripState, number: number, met: (p: PitchState) => boolean): number[] {
  return state.pitches.flatMap((p) => (p.number < number && !met(p) ? [p.number] : []));
}

function notDone(pitch: number, missing: readonly number[]): No {
  return {
    rule: 'previous-not-done',
    text: `${subject(missing)} done yet, so ${pitch} can't be.`,
    pitch,
    missing,
    mark: 'done',
  };
}

/** `6`, `5 and 6`, `4–6`. */
export function list(numbers: readonly number[]): string {
  const [first, last] = [numbers[0], numbers.at(-1)];
  if (numbers.length <= 1) return String(first ?? '');
  if (numbers.length === 2) return `${first} and ${last}`;
  return (last as number) - (first as number) === numbers.length - 1
    ? `${first}–${last}`
    : `${numbers.slice(0, -1).join(', ')} and ${last}`;
}

/** `Pitch 6 isn't`, `Pitches 5 and 6 aren't`. */
function subject(numbers: readonly number[]): string {
  return numbers.length === 1 ? `Pitch ${list(numbers)} isn't` : `Pitches ${list(numbers)} aren't`;
}

/** Contradictions met while folding, worded. */
export function* clashes(state: TripState): Generator<No> {
  for (const clash of state.clashes) yield wording(state, clash);
}

function wording(state: TripState, clash: Clash): No {
  const base = { seq: clash.first?.seq ?? clash.seq };
  switch (clash.what) {
    case 'told-twice': {
      const { first, pitch, mark } = clash;
      const text = first
        ? `Pitch ${pitch} was already told ${mark} at ${clock(state.zone, first.atMs)} (by ` +
          `${first.by.name}, ${clock(state.zone, first.recordedAtMs)}).`
        : `Pitch ${pitch} was already told ${mark}.`;
      return { ...base, rule: 'told-twice', text, ...only({ pitch, mark }) };
    }
    case 'no-such-pitch': {
      const last = state.pitches.length;
      const text =
        last === 0
          ? 'There is no topo yet: /topo load, or /topo edit number:1.'
          : `There is no pitch ${clash.pitch}; the topo has ${last}.`;
      return { ...base, rule: 'no-such-pitch', text, ...only({ pitch: clash.pitch }) };
    }
    case 'no-such-person':
      return { ...base, rule: 'no-such-person', text: `${clash.person} isn't on the roster.` };
    case 'same-person-twice':
      return {
        ...base,
        rule: 'same-person-twice',
        text: `${clash.person} is on the roster already.`,
      };
    case 'phase-twice':
      return { ...base, rule: 'phase-twice', text: 'That was told already.' };
    case 'no-such-cutoff':
      return { ...base, rule: 'no-such-cutoff', text: 'There is no such cutoff: /cutoff show.' };
    case 'settled-twice':
      return {
        ...base,
        rule: 'night',
        text: 'You are settled already: /bivy leave ends the night.',
      };
    case 'not-settled':
      return { ...base, rule: 'night', text: 'No night is under way: /bivy settle begins one.' };
    case 'rain-twice':
      return {
        ...base,
        rule: 'rain',
        text: 'It is raining by the log already: /rain stop ends it.',
      };
    case 'not-raining':
      return { ...base, rule: 'rain', text: 'No rain was told: /rain start, with at: for when.' };
    case 'no-such-link':
      return {
        ...base,
        rule: 'no-such-link',
        text: `Pitch ${clash.pitch} isn't linked with the next.`,
      };
  }
}

function only<T extends object>(fields: T): { [K in keyof T]: NonNullable<T[K]> } {
  return Object.fromEntries(Object.entries(fields).filter(([, v]) => v !== undefined)) as never;
}
