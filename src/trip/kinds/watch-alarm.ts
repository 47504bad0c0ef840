import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { nameOf } from '../state.ts';
import { FIELD } from '../watch-state.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';

const person = z.string().min(1).max(40);
const note = z.string().trim().min(1).max(LIMITS.noteLength);

/** A phase was reached and told to the people in `to`. `dueMs` is the time that was promised. */
export const raisedData = z.strictObject({
  phase: z.enum(['due', 'uncertainty', 'alert', 'distress']),
  root: z.string().min(1).max(80),
  dueMs: instant,
  to: z.array(person).max(LIMITS.people + 1),
  outage: z.strictObject({ fromMs: instant, toMs: instant }).optional(),
});
/** Somebody has an alarm in hand: an id of the roster, or FIELD. */
export const ackedData = z.strictObject({ person });
/** Somebody has called the rescue service. */
export const calledData = z.strictObject({ words: note.optional() });
/** A drill for one contact. */
export const drillData = z.strictObject({ to: person });
/** Somebody could not be reached; `raised` is the entry of the phase it was about. */
export const unreachedData = z.strictObject({
  person,
  raised: z.int().min(1).optional(),
  next: person.optional(),
  why: z.string().min(1).max(200),
});

const PHASE_WORDS = {
  due: 'asked after the party',
  uncertainty: 'uncertainty',
  alert: 'alert',
  distress: 'distress',
} as const;

/** What the watch did, and what people answered. */
export const watchAlarmKinds: {
  'watch.raised': Kind<z.infer<typeof raisedData>>;
  'watch.acked': Kind<z.infer<typeof ackedData>>;
  'watch.called': Kind<z.infer<typeof calledData>>;
  'watch.drill': Kind<z.infer<typeof drillData>>;
  'watch.drilled': Kind<z.infer<typeof drillData>>;
  'watch.unreached': Kind<z.infer<typeof unreachedData>>;
} = {
  'watch.raised': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    data: raisedData,
    fold(state, event) {
      const { outage, ...data } = event.data;
      const { seq, atMs } = event;
      state.watch.raised.push({ seq, atMs, ...data, ...(outage === undefined ? {} : { outage }) });
    },
    say(data, state) {
      const who = data.to.map((id) => (id === FIELD ? 'the channel' : nameOf(state, id)));
      return `${PHASE_WORDS[data.phase]}; told: ${who.join(', ') || 'nobody'}`;
    },
  },
  'watch.acked': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: ackedData,
    fold(state, event) {
      const { seq, atMs } = event;
      state.watch.acks.push({ seq, atMs, person: event.data.person });
    },
    say: (data, state) =>
      `${data.person === FIELD ? 'the channel' : nameOf(state, data.person)} has the alarm in hand`,
  },
  'watch.called': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: calledData,
    fold(state, event) {
      const { seq, atMs, by } = event;
      state.watch.called.push({ seq, atMs, by, ...(event.data as { words?: string }) });
    },
    say: (data) => `call-out made${data.words === undefined ? '' : `: ${data.words}`}`,
  },
  'watch.drill': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: false,
    data: drillData,
    fold(state, event) {
      const { seq, atMs } = event;
      state.watch.drills.push({ seq, atMs, to: event.data.to });
    },
    say: (data, state) => `drill for ${nameOf(state, data.to)}`,
  },
  'watch.drilled': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds-when-full',
    data: drillData,
    fold(state, event) {
      const drill = state.watch.drills.findLast((d) => d.to === event.data.to);
      if (drill !== undefined) drill.ackedAtMs ??= event.atMs;
    },
    say: (data, state) => `${nameOf(state, data.to)} acknowledged the drill`,
  },
  'watch.unreached': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    data: unreachedData,
    fold(state, event) {
      const { raised, next, ...data } = event.data;
      const { seq, atMs } = event;
      state.watch.unreached.push({
        seq,
        atMs,
        ...data,
        ...(raised === undefined ? {} : { raised }),
        ...(next === undefined ? {} : { next }),
      });
    },
    say: (data, state) =>
      `${data.person === FIELD ? 'The channel' : nameOf(state, data.person)} could not be reached (${data.why})` +
      `${data.next === undefined ? '' : `; ${nameOf(state, data.next)} told instead`}`,
  },
};
