import type { LeadTimes } from '../../src/forecast/lead-times.ts';
import { duration } from '../../src/time/format.ts';
import type { Person } from '../../src/trip/people.ts';
import { leads } from '../../src/trip/rotation.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';

/** Swing leads from here on: how long they take, and whom they would put on a pitch harder than they lead. */
interface Swing {
  totalMin: number;
  /** `Jonas on 5 and 8`. */
  above: string[];
}

/** What the fastest order takes, and what it gains on swing leads. */
export function gainWords(totalMin: number, swing: Swing | undefined): string {
  const total = `${duration(totalMin)} of climbing at the pace so far`;
  if (swing === undefined) return `${total}.`;
  const gainMin = Math.round(swing.totalMin - totalMin);
  const than =
    gainMin === 0
      ? 'as long as swing leads'
      : `${duration(gainMin)} ${gainMin > 0 ? 'less' : 'more'} than swing leads`;
  if (swing.above.length > 0) {
    return `${total}, ${than}, which put ${swing.above.join(' and ')}, harder than they lead.`;
  }
  return gainMin < 0
    ? `${total}, ${than}: that is what shares, wishes and rest cost.`
    : `${total}, ${than}.`;
}

/** As the rotation would give them; undefined where it has nobody for a lead. */
export function swingLeads(
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
