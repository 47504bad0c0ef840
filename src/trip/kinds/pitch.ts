import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Draft, Fact, FactHead } from '../fact.ts';
import { type Mark, nameOf, pitchAt, type TripState } from '../state.ts';
import type { Kind } from './kind.ts';

const pitch = z.int().min(1).max(LIMITS.pitches);
const leader = z.string().min(1).max(40).optional();

/** A start or a completion: which pitch, and the leader's id where it was told. */
export const told = z.strictObject({ pitch, leader });
/** A completion. `timeUnknown`: nobody knows when it was; the fact's own time is the latest it can have been. */
export const doneData = told.extend({ timeUnknown: z.literal(true).optional() });
/** A line fixed above a pitch. */
export const fixedData = z.strictObject({ pitch });
/** A rest or a lunch inside a pitch; the event's own time is its end. Left out of pace. */
export const breakData = z.strictObject({ pitch, minutes: z.int().min(1).max(720) });

/** What was told of single pitches. */
export const pitchKinds: {
  'pitch.started': Kind<z.infer<typeof told>>;
  'pitch.fixed': Kind<z.infer<typeof fixedData>>;
  'pitch.done': Kind<z.infer<typeof doneData>>;
  'pitch.break': Kind<z.infer<typeof breakData>>;
} = {
  'pitch.started': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: told,
    amendable: ['pitch', 'leader'],
    fold: (state, event) => mark(state, event, 'started'),
    say: (data, state) => `pitch ${data.pitch} started${led(state, data.leader)}`,
  },
  'pitch.fixed': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: fixedData,
    amendable: ['pitch'],
    fold: (state, event) => mark(state, event, 'fixed'),
    say: (data) => `pitch ${data.pitch} fixed`,
  },
  'pitch.done': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: doneData,
    amendable: ['pitch', 'leader'],
    fold: (state, event) => mark(state, event, 'done'),
    say: (data, state) =>
      `pitch ${data.pitch} done${led(state, data.leader)}${data.timeUnknown === true ? ', time not known' : ''}`,
  },
  'pitch.break': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: breakData,
    amendable: ['pitch'],
    fold(state, event) {
      const { pitch: number, minutes } = event.data;
      state.breaks.push({
        pitch: number,
        fromMs: event.atMs - minutes * 60_000,
        toMs: event.atMs,
        eventId: event.id,
      });
    },
    say: (data) => `break of ${data.minutes} min on pitch ${data.pitch}`,
  },
};

function led(state: TripState, who: string | undefined): string {
  return who === undefined ? '' : `, ${nameOf(state, who)} led`;
}

/** What was told first stands, whenever it happened; a second telling is a clash that the rules refuse. */
function mark(
  state: TripState,
  event: FactHead & { data: z.infer<typeof doneData> },
  name: 'started' | 'fixed' | 'done',
): void {
  const number = event.data.pitch;
  const target = pitchAt(state, number);
  if (target === undefined) {
    state.clashes.push({ what: 'no-such-pitch', seq: event.seq, pitch: number, mark: name });
    return;
  }
  const { leader: who, timeUnknown } = event.data;
  const made: Mark = {
    atMs: event.atMs,
    eventId: event.id,
    seq: event.seq,
    recordedAtMs: event.recordedAtMs,
    by: event.by,
    ...(who === undefined ? {} : { leader: who }),
    ...(timeUnknown === undefined ? {} : { timeUnknown }),
  };
  const other = target[name];
  const first = other !== undefined && other.seq < made.seq ? other : made;
  target[name] = first;
  if (other === undefined) return;
  const seq = Math.max(made.seq, other.seq);
  state.clashes.push({ what: 'told-twice', seq, pitch: number, mark: name, first });
}

/** The three marks that a pitch can have, in the order of happening. */
export type MarkName = 'started' | 'fixed' | 'done';

/** What a fact marks on which pitch. */
export interface Marked {
  pitch: number;
  mark: MarkName;
}

/** Undefined for a fact that marks no pitch. */
export function markOf(fact: Fact): Marked | undefined {
  switch (fact.kind) {
    case 'pitch.started':
      return { pitch: fact.data.pitch, mark: 'started' };
    case 'pitch.fixed':
      return { pitch: fact.data.pitch, mark: 'fixed' };
    case 'pitch.done':
      return { pitch: fact.data.pitch, mark: 'done' };
    default:
      return undefined;
  }
}

/** The pitch that a fact of the wall speaks of, a break included; undefined for others. */
export function pitchOf(fact: Fact): number | undefined {
  return fact.kind === 'pitch.break' ? fact.data.pitch : markOf(fact)?.pitch;
}

/** A pitch done before the time that is told with it; nobody knows when, nor who led. */
export function doneByDraft(pitch: number): Draft {
  return { kind: 'pitch.done', data: { pitch, timeUnknown: true } };
}

/** A mark to be recorded. Who fixed a line is whoever led, so that isn't asked. */
export function markDraft(mark: MarkName, pitch: number, leader: string | undefined): Draft {
  if (mark === 'fixed') return { kind: 'pitch.fixed', data: { pitch } };
  const kind = mark === 'done' ? 'pitch.done' : 'pitch.started';
  return { kind, data: { pitch, ...(leader === undefined ? {} : { leader }) } };
}
