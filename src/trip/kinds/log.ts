import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { clock } from '../../time/format.ts';
import { nameOf } from '../state.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';

const target = z.string().min(1).max(64);

/** The post with the id `target` is taken out. */
export const struck = z.strictObject({
  target,
  why: z.string().max(LIMITS.noteLength).optional(),
});
/** What the amended post should have said; only what is named changes. */
export const amended = z.strictObject({
  target,
  atMs: instant.optional(),
  pitch: z.int().min(1).max(LIMITS.pitches).optional(),
  leader: z.string().min(1).max(40).optional(),
});

/** The change to one post: `atMs` in epoch milliseconds, `leader` an id of a person. */
export type Amendment = z.infer<typeof amended>;

/** Both are applied before the fold (see effective.ts); here they only stand in the log. */
export const logKinds: {
  'log.struck': Kind<z.infer<typeof struck>>;
  'log.amended': Kind<z.infer<typeof amended>>;
} = {
  'log.struck': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: struck,
    fold() {},
    say: (data, state) =>
      `entry ${seqOf(state, data.target)} struck${data.why ? `: ${data.why}` : ''}`,
  },
  'log.amended': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: amended,
    fold() {},
    say(data, state) {
      const what = [
        data.atMs === undefined ? [] : [clock(state.zone, data.atMs)],
        data.pitch === undefined ? [] : [`pitch ${data.pitch}`],
        data.leader === undefined ? [] : [`${nameOf(state, data.leader)} led`],
      ].flat();
      return `entry ${seqOf(state, data.target)} amended to ${what.join(', ')}`;
    },
  },
};

function seqOf(state: { entries: { event: { id: string; seq: number } }[] }, id: string): string {
  const entry = state.entries.find((e) => e.event.id === id);
  return entry === undefined ? '?' : String(entry.event.seq);
}
