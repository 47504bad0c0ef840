import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { clockText } from '../settings.ts';
import { nameOf, type TripState } from '../state.ts';
import { DEFAULT_DELAYS, type PlanTime } from '../watch-state.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';
import { spokenFor } from './party.ts';
import { whoWords } from './trouble.ts';

const note = z.string().trim().min(1).max(LIMITS.noteLength);
/** Shortest wait is a minute, longest two days. */
const minutes = z.int().min(1).max(2880);

/** A check-in promised for `dueMs`, epoch milliseconds. */
export const promised = z.strictObject({
  dueMs: instant,
  about: note.optional(),
  who: spokenFor,
});
/** A check-in every evening at a clock time of the wall; null ends it. */
export const nightly = z.strictObject({ clock: clockText.nullable() });
/** Only what is named changes; null takes a time away. */
export const planned = z.strictObject({
  topoutMs: instant.nullable().optional(),
  downMs: instant.nullable().optional(),
  calloutMs: instant.nullable().optional(),
});
/**
 * Minutes from a missed promise to each phase, and for which an alarm is in hand, for all or for one
 * person; null goes back to the default.
 */
export const delays = z.strictObject({
  person: z.string().min(1).max(40).optional(),
  uncertaintyMin: minutes.nullable().optional(),
  alertMin: minutes.nullable().optional(),
  handMin: minutes.nullable().optional(),
});
/** A word that the party is well, and how it came. */
export const wellTold = z.strictObject({
  words: note.optional(),
  /** Where they were, in words. */
  place: note.optional(),
  how: z.enum(['self', 'radio', 'seen', 'reached']),
  who: spokenFor,
});

/** The agreed times, in the order in which they come. */
export const PLAN_TIMES: readonly PlanTime[] = ['topoutMs', 'downMs', 'calloutMs'];
const PLAN_WORDS: Record<PlanTime, string> = {
  topoutMs: 'top-out',
  downMs: 'everyone down',
  calloutMs: 'call-out time',
};

/** What was agreed about silence. */
export const watchPlanKinds: {
  'watch.promised': Kind<z.infer<typeof promised>>;
  'watch.nightly': Kind<z.infer<typeof nightly>>;
  'watch.planned': Kind<z.infer<typeof planned>>;
  'watch.delays': Kind<z.infer<typeof delays>>;
  'watch.ok': Kind<z.infer<typeof wellTold>>;
} = {
  'watch.promised': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: promised,
    fold(state, event) {
      const { id, seq, by } = event;
      const { dueMs, about, who } = event.data;
      state.watch.promises.push({
        ...{ id, seq, dueMs, by },
        ...(about === undefined ? {} : { about }),
        ...(who === undefined ? {} : { who }),
      });
    },
    say: ({ who }, state) =>
      `check-in promised${who === undefined ? '' : ` by ${whoWords(state, who)}`}`,
  },
  'watch.nightly': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: nightly,
    fold(state, event) {
      const { clock } = event.data;
      if (clock === null) delete state.watch.nightly;
      else state.watch.nightly = { clock, sinceMs: event.atMs, seq: event.seq };
    },
    say: (data) =>
      data.clock === null ? 'no nightly check-in' : `check-in promised nightly at ${data.clock}`,
  },
  'watch.planned': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: planned,
    fold(state, event) {
      for (const what of PLAN_TIMES) {
        const toMs = event.data[what];
        if (toMs !== undefined) setPlan(state, what, toMs, event);
      }
    },
    say: (data) =>
      `times agreed: ${PLAN_TIMES.filter((t) => data[t] !== undefined)
        .map((t) => PLAN_WORDS[t])
        .join(', ')}`,
  },
  'watch.delays': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: true,
    vital: false,
    data: delays,
    fold(state, event) {
      const { person, ...patch } = event.data;
      const { watch } = state;
      const own = person === undefined ? undefined : { ...watch.delaysOf.get(person) };
      for (const key of ['uncertaintyMin', 'alertMin', 'handMin'] as const) {
        const value = patch[key];
        if (value === undefined) continue;
        if (own === undefined) watch.delays[key] = value ?? DEFAULT_DELAYS[key];
        else if (value === null) delete own[key];
        else own[key] = value;
      }
      if (person !== undefined && own !== undefined) watch.delaysOf.set(person, own);
    },
    say: (data, state) =>
      `alarm delays${data.person === undefined ? '' : ` for ${nameOf(state, data.person)}`} set`,
  },
  'watch.ok': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: wellTold,
    say: ({ words, place, who }, state) =>
      `${who === undefined ? '' : `${whoWords(state, who)}: `}` +
      `${words === undefined ? `${who === undefined ? 'all ' : ''}well` : `“${words}”`}` +
      `${place === undefined ? '' : `, at ${place}`}`,
  },
};

function setPlan(
  state: TripState,
  what: PlanTime,
  toMs: number | null,
  event: { atMs: number; seq: number; by: { name: string } },
): void {
  const { watch } = state;
  const fromMs = watch.plan[what];
  const { atMs, seq, by } = event;
  if (toMs === null) delete watch.plan[what];
  else watch.plan[what] = toMs;
  watch.planSet[what] = { atMs, seq, by: by.name };
  if (fromMs === undefined || fromMs === toMs) return;
  watch.moved.push({ what, fromMs, atMs, seq, by: by.name, ...(toMs === null ? {} : { toMs }) });
}
