import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { at, nextPhaseAt } from '../../src/alarm/words/common.ts';
import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { personMeant } from '../../src/app/who.ts';
import { change, type Draft } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';

export interface AckInput {
  /** The contact for whom it is said; whoever asks when left out. */
  who?: string | undefined;
  drill?: boolean | undefined;
}

/** `I've got it`: ends the reminders to this person. The alarm stands until there is a word. */
export function ack(app: App, call: Call, input: AckInput): Promise<Reply> {
  let done: { drill: boolean; group: string } | undefined;
  return change(app, call, {
    decide({ state }) {
      done = undefined;
      const group = groupOf(state, call, input);
      const drafts: Draft[] = [];
      const standing = phaseNow(state) !== undefined;
      const drill = state.watch.drills.findLast((d) => d.to === group);
      if (drill !== undefined && drill.ackedAtMs === undefined && (input.drill || !standing)) {
        drafts.push({ kind: 'watch.drilled', data: { to: group } });
        done = { drill: true, group };
      } else if (standing) {
        const raised = reached(state).get(group);
        const already = state.watch.acks.some(
          (a) => a.person === group && a.seq > (raised?.seq ?? 0),
        );
        if (!already) drafts.push({ kind: 'watch.acked', data: { person: group } });
        done = { drill: false, group };
      }
      return drafts;
    },
    answer({ after }) {
      if (done === undefined) {
        return {
          lines: ['No alarm stands, so there is nothing to acknowledge.'],
          private: true,
        };
      }
      if (done.drill)
        return { lines: ['Noted: the rehearsal arrived. In earnest it comes the same way.'] };
      return {
        lines: [
          'Noted. No more reminders to you about this step.',
          ...next(after, done.group, call.atMs),
        ],
      };
    },
  });
}

function next(state: TripState, group: string, nowMs: number): Line[] {
  const phase = phaseNow(state)?.phase;
  const rung = nextPhaseAt(state, phase, group);
  return [
    'The alarm stands until there is a word from them.',
    ...(rung === undefined
      ? []
      : [['The next step comes at ', at(state, rung.atMs, nowMs), '.'] as Line]),
  ];
}

/** Whose reminders are meant: a contact's own, or the channel's for the party and the ground crew. */
function groupOf(state: TripState, call: Call, input: AckInput): string {
  if (input.who !== undefined) {
    const person = personMeant(state, input.who);
    if (!person.roles.includes('contact')) {
      throw new Refusal(`${person.name} is no contact; only contacts are told by themselves.`);
    }
    return person.id;
  }
  const person = personOf(state, call.actor.id);
  const told = reached(state);
  if (person === undefined || !person.roles.includes('contact')) return FIELD;
  // Ground crew who are contacts too speak for the channel when they were not told by themselves.
  const onlyContact = person.roles.length === 1;
  return onlyContact || input.drill || told.has(person.id) ? person.id : FIELD;
}
