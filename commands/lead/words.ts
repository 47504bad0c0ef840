import { laterWords, nextLead } from '../../src/app/words/lead.ts';
import type { Line } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';

/** `Then it goes: 7 Jonas, 8 Mara.` */
export function thenLines(state: TripState): Line[] {
  const next = nextLead(state);
  if (next === undefined) return [];
  return [`Then it goes: ${laterWords(state, [next.lead, ...next.later], 5)}.`];
}
