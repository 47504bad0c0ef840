import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { KIT_GROUPS } from '../kit-groups.ts';
import type { Kind } from './kind.ts';

const name = z.string().trim().min(1).max(LIMITS.nameLength);
const thing = z.strictObject({
  name,
  /** Of a thing of their own; those that we list have theirs. */
  group: z.enum(KIT_GROUPS).optional(),
  /** How much of it, in its unit; null: as much as is needed, again. */
  amount: z.union([z.number().min(0).max(10_000), z.null()]).optional(),
  /** Ids of people; null: nobody yet. */
  brings: z.union([z.string().min(1).max(64), z.null()]).optional(),
  carries: z.union([z.string().min(1).max(64), z.null()]).optional(),
  packed: z.boolean().optional(),
  /** They take none of it. */
  off: z.boolean().optional(),
});
const told = z.strictObject({ things: z.array(thing).min(1).max(LIMITS.kit) });

/** What was told of one thing of the kit; only what is named changes. */
export type ThingTold = z.infer<typeof thing>;

/** A thing of the kit as it stands: what was told of it, and when that was last. */
export interface KitThing {
  name: string;
  group?: (typeof KIT_GROUPS)[number];
  amount?: number;
  brings?: string;
  carries?: string;
  packed: boolean;
  off: boolean;
  /** When its amount, or that it is packed, was told last, epoch milliseconds. */
  atMs: number;
}

/** Who brings and who carries what, and what is packed. */
export const kitKinds: { 'kit.told': Kind<z.infer<typeof told>> } = {
  'kit.told': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: told,
    fold(state, { atMs, data }) {
      for (const { name: called, ...rest } of data.things) {
        const key = called.toLowerCase();
        const before = state.kit.get(key);
        if (before === undefined && state.kit.size >= LIMITS.kit) continue;
        const merged: Record<string, unknown> = { packed: false, off: false, ...before };
        for (const [field, value] of Object.entries(rest)) {
          if (value === null) delete merged[field];
          else merged[field] = value;
        }
        state.kit.set(key, { ...(merged as Omit<KitThing, 'name' | 'atMs'>), name: called, atMs });
      }
    },
    say: ({ things: [first, ...more] }) => {
      if (first === undefined) return 'kit';
      if (more.length > 0) return `kit: ${more.length + 1} things`;
      return first.off === true
        ? `kit: no ${first.name}`
        : `kit: ${first.name}${first.packed === true ? ' packed' : ''}`;
    },
  },
};
