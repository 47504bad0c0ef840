import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Kind } from './kind.ts';

const note = z.string().trim().min(1).max(LIMITS.noteLength);
const draft = z.strictObject({
  kind: z.string().min(1).max(64),
  data: z.unknown(),
  atMs: z.int().optional(),
  typed: z.string().max(400).optional(),
});

/**
 * A change that would weaken the watch, as it was asked for: what would be recorded, and in words. It
 * waits until somebody agrees.
 */
export const askedData = z.strictObject({
  drafts: z.array(draft).min(1).max(LIMITS.people),
  words: z.array(note).min(1).max(20),
  /** The newest entry that set a time then, and the alarm that stood: it is agreed to under both. */
  plan: z.int().min(0),
  alarm: z.int().min(1).optional(),
});
/** The change asked for in the entry `asked` is made with this fact. */
export const agreedData = z.strictObject({ asked: z.int().min(1) });
/** The rescue service was told that it is needed no more; `call` is the entry of the call-out. */
export const stoodDownData = z.strictObject({ call: z.int().min(1), words: note.optional() });

/** How the watch is weakened, by more than one press; and how a call-out is taken back. */
export const watchAgreeKinds: {
  'watch.asked': Kind<z.infer<typeof askedData>>;
  'watch.agreed': Kind<z.infer<typeof agreedData>>;
  'watch.stooddown': Kind<z.infer<typeof stoodDownData>>;
} = {
  'watch.asked': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    repeat: 'folds',
    data: askedData,
    fold(state, event) {
      const { seq, atMs, by } = event;
      const { drafts, words, plan, alarm } = event.data;
      const stood = alarm === undefined ? {} : { alarm };
      state.watch.asked.push({ seq, atMs, by, drafts, words, plan, ...stood });
    },
    say: (data) => `asked for: ${data.words.join(' ')}`,
  },
  'watch.agreed': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    data: agreedData,
    fold(state, event) {
      const { seq, atMs, by } = event;
      state.watch.agreed.push({ seq, atMs, by, asked: event.data.asked });
    },
    say: (data) => `agreed to what was asked for in entry ${data.asked}`,
  },
  'watch.stooddown': {
    order: 'told',
    alive: false,
    strike: 'told',
    private: false,
    vital: true,
    data: stoodDownData,
    fold(state, event) {
      const { seq, atMs, by } = event;
      state.watch.stoodDown.push({ seq, atMs, by, call: event.data.call });
    },
    say: (data) => `rescue service stood down${data.words === undefined ? '' : `: ${data.words}`}`,
  },
};
