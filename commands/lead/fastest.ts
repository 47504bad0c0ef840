import type { App } from '../../src/app/app.ts';
import type { Args, Call } from '../../src/app/command.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import type { LeadTimes } from '../../src/forecast/lead-times.ts';
import { explainConflict } from '../../src/forecast/order/explain.ts';
import { fastestOrder } from '../../src/forecast/order/fastest.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { DataOf, Draft } from '../../src/trip/fact.ts';
import { leads } from '../../src/trip/rotation.ts';
import { climbers, nameOf, type TripState } from '../../src/trip/state.ts';
import { problemOf } from './fastest-problem.ts';
import { styleDrafts, styledTimes, styleWords } from './fastest-style.ts';
import { gainWords, swingLeads } from './swing.ts';
import { topoutLines } from './topout.ts';
import { readWishes, type Wish } from './wishes.ts';

export const fastestOptions = {
  rest: { type: 'integer', description: 'Fastest: most leads in a row', min: 1, max: 20 },
  slack: {
    type: 'integer',
    description: 'Fastest: how far from even the shares may be; 1 unless named',
    min: 0,
    max: 40,
  },
  wishes: {
    type: 'string',
    description: 'Fastest: like "Mara 3, Ines not 8"',
    maxLength: 300,
  },
} as const;

export type FastestArgs = Args<typeof fastestOptions>;

/** The fastest lead order there is under ceilings, fair shares, wishes and rest. */
export function orderFastest(app: App, call: Call, args: FastestArgs): Promise<Reply> {
  let said: string[] = [];
  return change(app, call, {
    decide({ state }) {
      const found = solve(state, call.atMs, args);
      said = found.said;
      return found.drafts;
    },
    answer: async ({ before, after, events }) => ({
      lines: [...said, ...(await topoutLines(app, before, after, call.atMs))],
      buttons: undoButtons(events),
    }),
  });
}

function solve(
  state: TripState,
  nowMs: number,
  args: FastestArgs,
): { drafts: Draft[]; said: string[] } {
  const party = climbers(state).filter((p) => p.leads);
  if (party.length === 0)
    throw new Refusal('nobody-there', 'Nobody is there to lead: /roster add.');
  if (state.pitches.length === 0) throw new Refusal('no-topo', 'No topo yet: /topo load.');
  const base = forecastInput(state, nowMs);
  const columns = party.map((p) => base.climbers.findIndex((c) => c.id === p.id));
  const { times, styles } = styledTimes(state, base);
  if (times.firstPitches.length === 0)
    throw new Refusal('nothing-left', 'No lead is left to order.');
  const wishes = readWishes(args.wishes ?? '', party, state.pitches.length);
  mustBeToCome(wishes, times);
  const ids = party.map((p) => p.id);
  const problem = problemOf(state, ids, columns, times, wishes, args);
  const result = fastestOrder(problem);
  if (!result.ok) {
    throw new Refusal(
      'wishes-conflict',
      explainConflict(result.conflict, {
        climbers: party.map((p) => p.name),
        pitchNumbers: times.firstPitches,
      }),
    );
  }
  const { order } = result;
  const chosen = order.leaders.map((index) => ids[index] as string);
  const styled = styleDrafts(
    state,
    times,
    order.leaders.map((index, i) => styles[i]?.[columns[index] as number]),
  );
  return {
    drafts: [{ kind: 'lead.ordered', data: listOf(state, times, chosen) }, ...styled],
    said: [
      `Fastest: ${times.firstPitches.map((n, i) => `${n} ${nameOf(state, chosen[i] as string)}${styleWords(styled, n)}`).join(', ')}.`,
      gainWords(order.totalMin, swingLeads(state, times, columns, party)),
    ],
  };
}

function mustBeToCome(wishes: readonly Wish[], times: LeadTimes): void {
  const first = times.firstPitches[0] as number;
  const late = wishes.find((w) => w.pitch < first);
  if (late === undefined) return;
  throw new Refusal(
    'already-told',
    `Pitch ${late.pitch} is led already; wish from pitch ${first} on.`,
  );
}

/** A whole list from pitch 1, so that it can be read by number; what is done keeps its leader. */
function listOf(
  state: TripState,
  times: LeadTimes,
  chosen: readonly string[],
): DataOf<'lead.ordered'> {
  const plan = leads(state);
  const fallback = chosen[0] as string;
  const list = state.pitches.map((p) => {
    const lead = times.firstPitches.findIndex(
      (first, i) => p.number >= first && p.number <= (times.lastPitches[i] as number),
    );
    return lead < 0 ? (plan[p.number - 1]?.leader ?? fallback) : (chosen[lead] as string);
  });
  return { rule: 'list', leaders: list, people: [...new Set(list)], from: 'fastest' };
}
