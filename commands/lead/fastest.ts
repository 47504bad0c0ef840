import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { forecastInput, gapOf } from '../../src/forecast/input.ts';
import { type LeadTimes, leadTimes } from '../../src/forecast/lead-times.ts';
import { explainConflict } from '../../src/forecast/order/explain.ts';
import { fastestOrder } from '../../src/forecast/order/fastest.ts';
import { evenShares, type OrderProblem } from '../../src/forecast/order/problem.ts';
import { change, type Draft } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { duration } from '../../src/time/format.ts';
import type { Person } from '../../src/trip/people.ts';
import { leads, mayLead } from '../../src/trip/rotation.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import { climbers, nameOf, type TripState } from '../../src/trip/state.ts';
import { topoutLines } from './preview.ts';
import { readWishes, type Wish } from './wishes.ts';

export interface FastestInput {
  /** Most leads in a row for one climber. */
  rest?: number | undefined;
  /** How far from even the shares may be, leads each. */
  slack?: number | undefined;
  wishes?: string | undefined;
}

/** The fastest lead order there is under ceilings, fair shares, wishes and rest. */
export function orderFastest(app: App, call: Call, input: FastestInput): Promise<Reply> {
  let said: string[] = [];
  return change(app, call, {
    decide({ state }) {
      const found = solve(state, call.atMs, input);
      said = found.said;
      return found.drafts;
    },
    answer: async ({ before, after, events }) => ({
      lines: [...said, ...(await topoutLines(app, before, after, call.atMs))],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

function solve(
  state: TripState,
  nowMs: number,
  input: FastestInput,
): { drafts: Draft[]; said: string[] } {
  const party = climbers(state).filter((p) => p.leads);
  if (party.length === 0) throw new Refusal('Nobody is there to lead: /roster add.');
  if (state.pitches.length === 0) throw new Refusal('No topo yet: /topo load.');
  const base = forecastInput(state, nowMs);
  const columns = party.map((p) => base.climbers.findIndex((c) => c.id === p.id));
  const gaps = state.pitches.map((pitch) =>
    base.climbers.map((c) => gapOf(state, pitch, c.id).gapSteps),
  );
  const times = leadTimes(base, gaps);
  if (times.firstPitches.length === 0) throw new Refusal('No lead is left to order.');
  const wishes = readWishes(input.wishes ?? '', party, state.pitches.length);
  mustBeToCome(wishes, times);
  const problem = problemOf(
    state,
    party.map((p) => p.id),
    columns,
    times,
    wishes,
    input,
  );
  const result = fastestOrder(problem);
  if (!result.ok) {
    throw new Refusal(
      explainConflict(result.conflict, {
        climbers: party.map((p) => p.name),
        pitchNumbers: times.firstPitches,
      }),
    );
  }
  const { order } = result;
  const chosen = order.leaders.map((index) => party[index]?.id as string);
  return {
    drafts: [{ kind: 'lead.ordered', data: listOf(state, times, chosen) }],
    said: [
      `Fastest: ${times.firstPitches.map((n, i) => `${n} ${nameOf(state, chosen[i] as string)}`).join(', ')}.`,
      gainWords(order.totalMin, swingLeads(state, times, columns, party)),
    ],
  };
}

function mustBeToCome(wishes: readonly Wish[], times: LeadTimes): void {
  const first = times.firstPitches[0] as number;
  const late = wishes.find((w) => w.pitch < first);
  if (late === undefined) return;
  throw new Refusal(`Pitch ${late.pitch} is led already; wish from pitch ${first} on.`);
}

/** Swing leads from here on: how long they take, and whom they would put above their ceiling. */
interface Swing {
  totalMin: number;
  /** `Jonas on 5 and 8`. */
  above: string[];
}

function gainWords(totalMin: number, swing: Swing | undefined): string {
  const total = `${duration(totalMin)} of climbing at the pace so far`;
  if (swing === undefined) return `${total}.`;
  const gainMin = Math.round(swing.totalMin - totalMin);
  const than =
    gainMin === 0
      ? 'as long as swing leads'
      : `${duration(gainMin)} ${gainMin > 0 ? 'less' : 'more'} than swing leads`;
  if (swing.above.length > 0) {
    return `${total}, ${than}, which put ${swing.above.join(' and ')}, above their ceiling.`;
  }
  return gainMin < 0
    ? `${total}, ${than}: that is what shares, wishes and rest cost.`
    : `${total}, ${than}.`;
}

function problemOf(
  state: TripState,
  ids: readonly string[],
  columns: readonly number[],
  times: LeadTimes,
  wishes: readonly Wish[],
  input: FastestInput,
): OrderProblem {
  const leadsOf = (n: number, last: number) => state.pitches.slice(n - 1, last);
  const pinned = times.firstPitches.map((first) => {
    const byHand = ids.indexOf(state.assigned.get(first)?.leader ?? '');
    return byHand < 0 ? undefined : byHand;
  });
  const minutes = times.minutes.map((row, i) => {
    const own = leadsOf(times.firstPitches[i] as number, times.lastPitches[i] as number);
    return ids.map((id, j) =>
      // Whoever was assigned by hand has it, whatever their ceiling.
      pinned[i] === j || own.every((pitch) => mayLead(state, pitch, id))
        ? row[columns[j] as number]
        : undefined,
    );
  });
  const by = (wants: boolean) =>
    times.firstPitches.map((first, i) => {
      const who = wishes.filter(
        (w) => w.wants === wants && w.pitch >= first && w.pitch <= (times.lastPitches[i] as number),
      );
      return who.length === 0 ? undefined : who.map((w) => ids.indexOf(w.climber));
    });
  return {
    minutes,
    pinned,
    // A block saves no changeover that anybody published, so neither is charged.
    changeoverMin: { block: 0, swing: 0 },
    shares: evenShares(times.firstPitches.length, ids.length, input.slack ?? 1),
    wishedBy: by(true),
    notWishedBy: by(false),
    ...(input.rest === undefined ? {} : { maxRun: input.rest }),
    ...beforeOf(state, ids, times.firstPitches[0] as number),
  };
}

/** Who led the pitch below, and how many in a row: rest counts them, the shares start from here. */
function beforeOf(
  state: TripState,
  ids: readonly string[],
  first: number,
): Pick<OrderProblem, 'before'> {
  const below = leads(state)
    .slice(0, first - 1)
    .map((l) => l.leader ?? '');
  const last = below.at(-1);
  const leader = last === undefined ? -1 : ids.indexOf(last);
  if (leader < 0) return {};
  const run = below.length - 1 - below.findLastIndex((id) => id !== last);
  return { before: { leader, run, leads: ids.map(() => 0) } };
}

/** As the rotation would give them; undefined where it has nobody for a lead. */
function swingLeads(
  state: TripState,
  times: LeadTimes,
  columns: readonly number[],
  party: readonly Person[],
): Swing | undefined {
  const plan = leads({ ...state, order: { rule: 'swing', people: [] } });
  const above = new Map<string, number[]>();
  let totalMin = 0;
  for (const [i, first] of times.firstPitches.entries()) {
    const lead = plan[first - 1];
    const column = columns[party.findIndex((p) => p.id === lead?.leader)];
    if (lead?.leader === undefined || column === undefined) return undefined;
    totalMin += times.minutes[i]?.[column] ?? 0;
    if (lead.aboveCeiling) above.set(lead.leader, [...(above.get(lead.leader) ?? []), first]);
  }
  return {
    totalMin,
    above: [...above].map(([id, pitches]) => `${nameOf(state, id)} on ${list(pitches)}`),
  };
}

/** A whole list from pitch 1, so that it can be read by number; what is done keeps its leader. */
function listOf(state: TripState, times: LeadTimes, chosen: readonly string[]): object {
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
