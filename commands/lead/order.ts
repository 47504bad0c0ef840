import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { climberMeant } from '../../src/app/who.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { climbers, type TripState } from '../../src/trip/state.ts';
import { thenLines } from './assign.ts';

export interface OrderInput {
  rule: 'swing' | 'block' | 'list';
  n?: number | undefined;
  /** Names in order, comma or space between; for `list` one a pitch, begun anew when it ends. */
  names?: string | undefined;
}

/** Sets how leads go round from here on; pitches assigned by hand keep their leader. */
export function setOrder(app: App, call: Call, input: OrderInput): Promise<Reply> {
  return change(app, call, {
    decide: ({ state }) => [{ kind: 'lead.ordered', data: orderData(state, input) }],
    answer: ({ after, events }) => ({
      lines: [said(after), ...thenLines(after)],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

function orderData(state: TripState, input: OrderInput): object {
  const named = names(state, input.names);
  if (input.rule === 'list') {
    if (named.length === 0) {
      throw new Refusal([
        'A list needs names, one a pitch: names:"Mara, Mara, Jonas, Ines".',
        'When it is shorter than the route it begins anew.',
      ]);
    }
    return { rule: 'list', leaders: named, people: [...new Set(named)] };
  }
  if (new Set(named).size !== named.length) {
    throw new Refusal('Each climber once here; a longer list with repeats is rule:list.');
  }
  if (input.rule === 'swing') return { rule: 'swing', people: named };
  if (input.n === undefined) throw new Refusal('How many pitches a block? n:3, for example.');
  return { rule: 'block', n: input.n, people: named };
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
