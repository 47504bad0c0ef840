import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { at, nextPhaseAt } from '../../src/alarm/words/common.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import type { Line } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { TripState } from '../../src/trip/state.ts';
import { contactMeant, contactOption } from './contact.ts';

const options = {
  for: contactOption('Say it for a contact who told you, by phone or mail'),
  alarm: { type: 'integer', description: 'Which alarm', hidden: true },
  drill: { type: 'boolean', description: 'The rehearsal', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue ack': typeof options;
  }
}

/** It ends the reminders to this person. The alarm stands until there is a word. */
export const ack = sub({
  description: 'You have the alarm in hand: no more reminders to you',
  access: 'act',
  counts: 'never',
  options,
  run(call, args, app) {
    let done: { drill: boolean; group: string } | undefined;
    return change(app, call, {
      decide({ state }) {
        const group = groupOf(state, call, args);
        const noted = acknowledged(state, group, args.drill === true);
        done = noted && { drill: noted.drill, group };
        return noted?.drafts ?? [];
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
            ...nextLines(after, done.group, call.atMs),
          ],
        };
      },
    });
  },
});

/** The rehearsal that waits for this person, or the alarm that stands; undefined when neither is. */
function acknowledged(
  state: TripState,
  group: string,
  drillMeant: boolean,
): { drill: boolean; drafts: Draft[] } | undefined {
  const standing = phaseNow(state) !== undefined;
  const drill = state.watch.drills.findLast((d) => d.to === group);
  if (drill !== undefined && drill.ackedAtMs === undefined && (drillMeant || !standing)) {
    return { drill: true, drafts: [{ kind: 'watch.drilled', data: { to: group } }] };
  }
  if (!standing) return undefined;
  const raised = reached(state).get(group);
  const already = state.watch.acks.some((a) => a.person === group && a.seq > (raised?.seq ?? 0));
  return {
    drill: false,
    drafts: already ? [] : [{ kind: 'watch.acked', data: { person: group } }],
  };
}

function nextLines(state: TripState, group: string, nowMs: number): Line[] {
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
function groupOf(state: TripState, call: Call, args: Args<typeof options>): string {
  if (args.for !== undefined) {
    return contactMeant(state, args.for, '; only contacts are told by themselves.').id;
  }
  const person = personOf(state, call.actor.id);
  const told = reached(state);
  if (person === undefined || !person.roles.includes('contact')) return FIELD;
  // Ground crew who are contacts too speak for the channel when they were not told by themselves.
  const onlyContact = person.roles.length === 1;
  return onlyContact || args.drill || told.has(person.id) ? person.id : FIELD;
}
