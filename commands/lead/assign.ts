import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { climberMeant } from '../../src/app/who.ts';
import { ceilingWords, laterWords, nextLead } from '../../src/app/words/lead.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { leads } from '../../src/trip/rotation.ts';
import { linkEndsAt, nameOf, pitchAt, type TripState } from '../../src/trip/state.ts';
import { previewed } from './preview.ts';

/** Gives one pitch to one climber by hand; `none` puts it back in the rotation. */
export function assignLead(
  app: App,
  call: Call,
  number: number,
  leader: string,
  sure: boolean,
): Promise<Reply> {
  return previewed(app, call, {
    sure,
    press: { path: 'lead assign', options: { pitch: number, leader } },
    label: 'Assign it',
    decide(state) {
      mustBeOpen(state, number);
      if (leader.trim().toLowerCase() === 'none') {
        if (!state.assigned.has(number)) {
          throw new Refusal(`Pitch ${number} follows the rotation already.`);
        }
        return [{ kind: 'lead.cleared', data: { pitch: number } }];
      }
      const person = climberMeant(state, leader);
      if (!person.leads) {
        throw new Refusal([
          `${person.name} follows only on this trip.`,
          `If that has changed: /roster edit who:${person.name} leads:yes`,
        ]);
      }
      return [{ kind: 'lead.assigned', data: { pitch: number, leader: person.id } }];
    },
    lines: (before, after) => [
      moved(before, after, number),
      ...warning(after, number),
      ...thenLines(after),
    ],
  });
}

/** Exchanges the leaders of two pitches. */
export function swapLeads(
  app: App,
  call: Call,
  a: number,
  b: number,
  sure: boolean,
): Promise<Reply> {
  return previewed(app, call, {
    sure,
    press: { path: 'lead swap', options: { a, b } },
    label: 'Swap them',
    decide(state) {
      mustBeOpen(state, a);
      mustBeOpen(state, b);
      const all = leads(state);
      const [leaderA, leaderB] = [all[a - 1]?.leader, all[b - 1]?.leader];
      if (leaderA === undefined || leaderB === undefined) {
        throw new Refusal('Nobody is there to swap: /roster add.');
      }
      if (leaderA === leaderB) {
        throw new Refusal(
          a === b
            ? 'That is one pitch; name two.'
            : `${nameOf(state, leaderA)} leads both, ${a} and ${b}; nothing to swap.`,
        );
      }
      return [{ kind: 'lead.swapped', data: { a, b, leaderA, leaderB } }];
    },
    lines: (before, after) => [
      moved(before, after, a),
      moved(before, after, b),
      ...warning(after, a),
      ...warning(after, b),
      ...thenLines(after),
    ],
  });
}

/** Only a pitch to come can be given away; what was led is mended by amending the post. */
function mustBeOpen(state: TripState, number: number): void {
  const pitch = pitchAt(state, number);
  if (pitch === undefined) {
    throw new Refusal(`There is no pitch ${number}; the topo has ${state.pitches.length}.`);
  }
  const told = pitch.done ?? pitch.started ?? pitch.fixed;
  if (told !== undefined) {
    throw new Refusal([
      `Pitch ${number} was ${pitch.done !== undefined ? 'done' : pitch.started !== undefined ? 'started' : 'fixed'} already.`,
      ['If another climber led it: ', { code: `/pitch amend entry:${told.seq} leader:` }],
    ]);
  }
  if (linkEndsAt(state, number)) {
    throw new Refusal([
      `Pitch ${number} is linked with ${number - 1} and goes with it.`,
      `Assign ${number - 1}, or /lead unlink pitch:${number - 1} first.`,
    ]);
  }
}

/** `Pitch 6: Ines leads (was Jonas).` */
function moved(before: TripState, after: TripState, number: number): string {
  const was = leads(before)[number - 1]?.leader;
  const is = leads(after)[number - 1]?.leader;
  const name = is === undefined ? 'nobody' : nameOf(after, is);
  const same = was === undefined || was === is ? '' : ` (was ${nameOf(before, was)})`;
  return `Pitch ${number}: ${name} leads${same}.`;
}

function warning(state: TripState, number: number): string[] {
  const lead = leads(state)[number - 1];
  const pitch = pitchAt(state, number);
  if (!lead?.aboveCeiling || pitch === undefined) return [];
  const words = ceilingWords(state, lead, pitch);
  return words === undefined ? [] : [words];
}

export function thenLines(state: TripState): Line[] {
  const next = nextLead(state);
  if (next === undefined) return [];
  return [`Then it goes: ${laterWords(state, [next.lead, ...next.later], 5)}.`];
}
