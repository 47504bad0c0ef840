import { partNames } from '../../src/app/parts.ts';
import { laterWords, nextLead } from '../../src/app/words/lead.ts';
import type { Line } from '../../src/say/reply.ts';
import { leadsOnRope } from '../../src/trip/rotation.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';
import { ropeMarks, ropesOf, toldRopes } from '../../src/trip/two-ropes.ts';

/** `Then it goes: 7 Jonas, 8 Mara.` */
export function thenLines(state: TripState): Line[] {
  const next = nextLead(state);
  if (next === undefined) return [];
  return [`Then it goes: ${laterWords(state, [next.lead, ...next.later], 5)}.`];
}

/** Each rope with who leads what on it, or that nobody told; silent for a party on one rope. */
export function ropeLines(state: TripState): string[] {
  const ropes = ropesOf(state);
  if (ropes.length < 2) return [];
  if (!toldRopes(state)) {
    const example = ropes.map((who) => who.map((id) => nameOf(state, id)).join(', ')).join(' / ');
    return [
      `Forecast as ${ropes.length} ropes; nobody told who climbs with whom: /lead order ropes:"${example}"`,
    ];
  }
  return ropes.map((who, i) => {
    const names = partNames(state, who);
    if (i === 0) return `In front: ${names}.`;
    const done = ropeMarks(state).find((m) => m.rope === i + 1)?.pitch ?? 0;
    const next = leadsOnRope(state, i + 1)
      .slice(done, done + 4)
      .map((l) => `${l.pitch} ${l.leader === undefined ? 'nobody' : nameOf(state, l.leader)}`);
    return `Behind: ${names}. ${next.length === 0 ? 'All done.' : `Next: ${next.join(', ')}.`}`;
  });
}
