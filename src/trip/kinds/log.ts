import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { clock } from '../../time/format.ts';
import type { Author } from '../fact.ts';
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

/**
 * The entries 1 to `entries` came from a file. `chain`: whether the seals in the file held, were broken from the
 * entry `from` on, or weren't there; `head` is the last hash of those that held.
 */
export const importedData = z.strictObject({
  entries: z.int().min(1),
  chain: z.enum(['holds', 'broken', 'none']),
  head: z.string().max(64).optional(),
  from: z.int().min(1).optional(),
});
/** Where a record came from: by whom, and when. */
export type Imported = z.infer<typeof importedData> & { atMs: number; by: Author };
/** What these entries said, and who told them, was erased because somebody asked for it. */
export const erasedData = z.strictObject({ entries: z.array(z.int().min(1)).max(LIMITS.entry) });

/** The change to one post: `atMs` in epoch milliseconds, `leader` an id of a person. */
export type Amendment = z.infer<typeof amended>;

/** Both are applied before the fold (see effective.ts); here they only stand in the log. */
export const logKinds: {
  'log.struck': Kind<z.infer<typeof struck>>;
  'log.amended': Kind<z.infer<typeof amended>>;
  'log.imported': Kind<z.infer<typeof importedData>>;
  'log.erased': Kind<z.infer<typeof erasedData>>;
} = {
  'log.struck': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: true,
    data: struck,
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
    say(data, state) {
      const what = [
        data.atMs === undefined ? [] : [clock(state.zone, data.atMs)],
        data.pitch === undefined ? [] : [`pitch ${data.pitch}`],
        data.leader === undefined ? [] : [`${nameOf(state, data.leader)} led`],
      ].flat();
      return `entry ${seqOf(state, data.target)} amended to ${what.join(', ')}`;
    },
  },
  'log.imported': {
    order: 'told',
    alive: false,
    strike: 'frames',
    private: false,
    vital: true,
    data: importedData,
    fold(state, { atMs, by, data }) {
      state.imported = { ...data, atMs, by };
      state.openedBy = by;
    },
    say: (data) => `entries 1 to ${data.entries} brought in from a file`,
  },
  'log.erased': {
    order: 'told',
    alive: false,
    strike: 'frames',
    private: false,
    vital: true,
    data: erasedData,
    say: ({ entries }) =>
      `erased on request: who told ${entries.length === 1 ? 'entry' : 'entries'} ${entries.join(', ')}, and what it said of them`,
  },
};

function seqOf(state: { entries: { event: { id: string; seq: number } }[] }, id: string): string {
  const entry = state.entries.find((e) => e.event.id === id);
  return entry === undefined ? '?' : String(entry.event.seq);
}
