import { type Args, sub } from '../../src/app/command.ts';
import { climberMeant } from '../../src/app/who.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { DataOf, Draft } from '../../src/trip/fact.ts';
import { climbers, type TripState } from '../../src/trip/state.ts';
import { fastestOptions, orderFastest } from './fastest.ts';
import { ropeLines, thenLines } from './words.ts';

const options = {
  rule: {
    type: 'string',
    description: 'Swing, blocks, or a fixed list; as it is when left out',
    choices: [
      { name: 'swing leads', value: 'swing' },
      { name: 'block leads', value: 'block' },
      { name: 'a fixed list', value: 'list' },
      { name: 'the fastest there is', value: 'fastest' },
    ],
  },
  n: { type: 'integer', description: 'Pitches in a block', min: 1, max: 20 },
  /** Comma or space between; for `list` one a pitch, begun anew when it ends. */
  names: { type: 'string', description: 'Climbers in order: Mara, Jonas, Ines', maxLength: 500 },
  ropes: {
    type: 'string',
    description: 'Who climbs with whom, the rope in front first: Mara, Jonas / Ines, Greta',
    maxLength: 300,
  },
  ...fastestOptions,
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead order': typeof options;
  }
}

/** Sets how leads go round from here on; pitches assigned by hand keep their leader. */
export const order = sub({
  description: 'How leads go round',
  access: 'post',
  counts: ['forecast'],
  options,
  run(call, args, app) {
    if (args.rule === 'fastest' && args.ropes === undefined) return orderFastest(app, call, args);
    return change(app, call, {
      decide({ state }) {
        const roped = args.ropes === undefined ? [] : [ropesDraft(state, args.ropes)];
        if (args.rule === undefined && roped.length > 0) return roped;
        return [...roped, { kind: 'lead.ordered', data: orderData(state, args) }];
      },
      answer: ({ after, events }) => ({
        lines: [said(after), ...ropeLines(after), ...thenLines(after)],
        buttons: undoButtons(events),
      }),
    });
  },
});

/** `Mara, Jonas / Ines, Greta`; `one` is everybody on one rope. */
function ropesDraft(state: TripState, typed: string): Draft {
  if (/^\s*(one|none)\s*$/iu.test(typed)) return { kind: 'lead.roped', data: { ropes: [] } };
  const groups = typed.split('/').map((group) => names(state, group));
  const all = groups.flat();
  if (groups.length < 2 || groups.some((g) => g.length === 0) || new Set(all).size !== all.length) {
    throw new Refusal('options-clash', [
      'Two ropes at least, with / between them; each climber on one, and somebody on each.',
      'Like ropes:"Mara, Jonas / Ines, Greta"; ropes:one takes it back.',
    ]);
  }
  return { kind: 'lead.roped', data: { ropes: groups } };
}

type Ordered = DataOf<'lead.ordered'>;

function orderData(state: TripState, { rule, n, names: typed }: Args<typeof options>): Ordered {
  if (rule === undefined || rule === 'fastest') {
    throw new Refusal('needs-value', 'Name the rule, like rule:swing, or ropes: alone.');
  }
  const named = names(state, typed);
  if (rule === 'list') {
    if (named.length === 0) {
      throw new Refusal('needs-value', [
        'A list needs names, one a pitch: names:"Mara, Mara, Jonas, Ines".',
        'When it is shorter than the route it begins anew.',
      ]);
    }
    return { rule: 'list', leaders: named, people: [...new Set(named)] };
  }
  if (new Set(named).size !== named.length) {
    throw new Refusal(
      'options-clash',
      'Each climber once here; a longer list with repeats is rule:list.',
    );
  }
  if (rule === 'swing') return { rule: 'swing', people: named };
  if (n === undefined)
    throw new Refusal('needs-value', 'How many pitches a block? n:3, for example.');
  return { rule: 'block', n, people: named };
}

function names(state: TripState, typed: string | undefined): string[] {
  if (typed === undefined) return [];
  const parts = typed.includes(',') ? typed.split(',') : typed.split(/\s+/);
  return parts.filter((p) => p.trim() !== '').map((p) => climberMeant(state, p.trim()).id);
}

function said(state: TripState): string {
  const { order } = state;
  const count = climbers(state).filter((p) => p.leads).length;
  if (order.rule === 'swing') return `Swing leads among ${count}.`;
  if (order.rule === 'block') return `Block leads of ${order.n} among ${count}.`;
  return `Leads by list of ${order.leaders.length}.`;
}
