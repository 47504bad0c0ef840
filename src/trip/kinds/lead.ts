import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import { nameOf, pitchAt } from '../state.ts';
import type { Kind } from './kind.ts';
import { whoWords } from './trouble.ts';

const who = z.string().min(1).max(40);
const people = z.array(who).max(LIMITS.climbers);
const pitch = z.int().min(1).max(LIMITS.pitches);

/**
 * The order of leads: swing, blocks of `n` pitches (1–20), or a list of ids that begins anew at its
 * end.
 */
export const ordered = z.discriminatedUnion('rule', [
  z.strictObject({ rule: z.literal('swing'), people }),
  z.strictObject({ rule: z.literal('block'), n: z.int().min(1).max(20), people }),
  z.strictObject({
    rule: z.literal('list'),
    leaders: z.array(who).min(1).max(LIMITS.pitches),
    people,
    from: z.literal('fastest').optional(),
  }),
]);
/** One pitch is given to one leader by hand. */
export const assigned = z.strictObject({ pitch, leader: who });
/** One pitch follows the order again. */
export const cleared = z.strictObject({ pitch });
/** Pitches `a` and `b` change leaders; `leaderA` and `leaderB` are those before the swap. */
export const swapped = z.strictObject({ a: pitch, b: pitch, leaderA: who, leaderB: who });
/** Who climbs with whom: ids by rope, the one in front first; none: one rope, or as many as it takes. */
export const roped = z.strictObject({
  ropes: z
    .array(z.array(who).min(1).max(LIMITS.climbers))
    .max(LIMITS.climbers)
    .refine((ropes) => new Set(ropes.flat()).size === ropes.flat().length, 'each on one rope'),
});
/** A pitch that a rope behind the first has done. */
export const ropeDone = z.strictObject({ rope: z.int().min(2).max(LIMITS.climbers), pitch });
/** How a pitch that can be led either way is led; null leaves it to the leader's ceilings. */
export const styled = z.strictObject({ pitch, style: z.enum(['free', 'aid']).nullable() });
/** Pitch `first` and the one above it are climbed in one lead, or no longer are. */
export const link = z.strictObject({ first: pitch });

/** Who leads what. */
export const leadKinds: {
  'lead.ordered': Kind<z.infer<typeof ordered>>;
  'lead.assigned': Kind<z.infer<typeof assigned>>;
  'lead.cleared': Kind<z.infer<typeof cleared>>;
  'lead.swapped': Kind<z.infer<typeof swapped>>;
  'lead.styled': Kind<z.infer<typeof styled>>;
  'lead.roped': Kind<z.infer<typeof roped>>;
  'rope.done': Kind<z.infer<typeof ropeDone>>;
  'lead.linked': Kind<z.infer<typeof link>>;
  'lead.unlinked': Kind<z.infer<typeof link>>;
} = {
  'lead.ordered': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: ordered,
    fold(state, event) {
      state.order = event.data as typeof state.order;
    },
    say(data, state) {
      if (data.rule === 'list') {
        const list = data.leaders.map((id) => nameOf(state, id)).join(', ');
        return `leads by ${data.from === 'fastest' ? 'fastest order' : 'list'}: ${list}`;
      }
      const first = data.people.map((id) => nameOf(state, id)).join(', ');
      return `${data.rule === 'swing' ? 'swing leads' : `block leads of ${data.n}`}: ${first}`;
    },
  },
  'lead.assigned': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: assigned,
    fold(state, event) {
      const { leader } = event.data;
      state.assigned.set(event.data.pitch, { leader, how: 'assigned', by: event.by.name });
    },
    say: (data, state) => `pitch ${data.pitch} assigned to ${nameOf(state, data.leader)}`,
  },
  'lead.cleared': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: cleared,
    fold(state, event) {
      state.assigned.delete(event.data.pitch);
    },
    say: (data) => `pitch ${data.pitch} back in the rotation`,
  },
  'lead.swapped': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: swapped,
    fold(state, event) {
      const { a, b, leaderA, leaderB } = event.data;
      state.assigned.set(a, { leader: leaderB, how: 'swapped', by: event.by.name });
      state.assigned.set(b, { leader: leaderA, how: 'swapped', by: event.by.name });
    },
    say: (data, state) =>
      `pitches ${data.a} and ${data.b} swapped: ${nameOf(state, data.leaderB)} leads ${data.a}, ` +
      `${nameOf(state, data.leaderA)} leads ${data.b}`,
  },
  'lead.styled': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: styled,
    fold(state, { data }) {
      if (data.style === null) state.styles.delete(data.pitch);
      else state.styles.set(data.pitch, data.style);
    },
    say: ({ pitch: n, style }) =>
      `pitch ${n} ${style === null ? 'as its leader chooses' : style === 'aid' ? 'on aid' : 'free'}`,
  },
  'lead.roped': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: roped,
    fold(state, { data }) {
      state.ropes = data.ropes;
    },
    say: ({ ropes }, state) =>
      ropes.length === 0
        ? 'who climbs with whom: not told'
        : `ropes: ${ropes.map((rope) => whoWords(state, rope)).join(' · ')}`,
  },
  'rope.done': {
    order: 'happened',
    alive: true,
    strike: 'may',
    private: false,
    vital: false,
    data: ropeDone,
    fold(state, { atMs, seq, data }) {
      // Whoever climbs behind can't be above those in front.
      const front = pitchAt(state, data.pitch);
      if (front?.done === undefined || front.done.atMs > atMs) {
        state.clashes.push({ what: 'rope-ahead', seq, pitch: data.pitch });
        return;
      }
      state.ropeMarks.push({ ...data, atMs, seq });
    },
    say: ({ rope, pitch: n }, state) => {
      const who = state.ropes[rope - 1];
      return `pitch ${n} done by ${who === undefined ? `rope ${rope}` : whoWords(state, who)}`;
    },
  },
  'lead.linked': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: link,
    fold(state, event) {
      state.links.add(event.data.first);
    },
    say: (data) => `pitches ${data.first} and ${data.first + 1} linked`,
  },
  'lead.unlinked': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: link,
    fold(state, event) {
      if (!state.links.delete(event.data.first)) {
        state.clashes.push({ what: 'no-such-link', seq: event.seq, pitch: event.data.first });
      }
    },
    say: (data) => `pitches ${data.first} and ${data.first + 1} no longer linked`,
  },
};
