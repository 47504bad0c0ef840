import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { acked, handMin, isReminded } from '../../src/alarm/repeats.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { nextPhaseAt } from '../../src/alarm/words/common.ts';
import { type Home, when } from '../../src/alarm/words/home.ts';
import { mustStand } from '../../src/app/bound.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { wordsToward } from '../../src/app/toward.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import type { Words } from '../../src/say/contact/words.ts';
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

/** An acknowledgement that lapses within this is renewed. Engineering choice. */
const FRESH_MS = 30 * 60_000;

/** It puts off the reminders to this person. The alarm stands until there is a word. */
export const ack = sub({
  description: 'You have the alarm in hand: no reminders to you for a while',
  access: 'act',
  counts: 'vital',
  options,
  run(call, args, app) {
    let done: { drill: boolean; group: string } | undefined;
    return change(app, call, {
      decide({ state }) {
        const group = groupOf(state, call, args);
        if (args.drill !== true) mustStand(state, args.alarm, group, call.atMs);
        else mustBeDrill(state, group, call.atMs);
        const noted = acknowledged(state, group, args.drill === true, call.atMs);
        done = noted && { drill: noted.drill, group };
        return noted?.drafts ?? [];
      },
      answer({ after }) {
        const w = wordsToward(after, call);
        if (done === undefined) {
          return {
            lines: [w.say('done.noAlarm')],
            private: true,
          };
        }
        if (done.drill) return { lines: [w.say('done.drill')] };
        return {
          lines: [
            notedLine(w, after, done.group),
            ...nextLines({ w, state: after, nowMs: call.atMs }, done.group),
          ],
        };
      },
    });
  },
});

/** The button of a rehearsal that was answered already says nothing of an alarm. */
function mustBeDrill(state: TripState, group: string, nowMs: number): void {
  const drill = state.watch.drills.findLast((d) => d.to === group);
  const waits = drill !== undefined && drill.ackedAtMs === undefined;
  // No alarm is raised by that entry, so whatever stands is another.
  if (!waits && phaseNow(state) !== undefined) mustStand(state, drill?.seq ?? 0, group, nowMs);
}

/** The rehearsal that waits for this person, or the alarm that stands; undefined when neither is. */
function acknowledged(
  state: TripState,
  group: string,
  drillMeant: boolean,
  nowMs: number,
): { drill: boolean; drafts: Draft[] } | undefined {
  const standing = phaseNow(state) !== undefined;
  const drill = state.watch.drills.findLast((d) => d.to === group);
  if (drill !== undefined && drill.ackedAtMs === undefined && (drillMeant || !standing)) {
    return { drill: true, drafts: [{ kind: 'watch.drilled', data: { to: group } }] };
  }
  if (!standing) return undefined;
  const raised = reached(state).get(group);
  // Said once more shortly before it lapses, it holds anew.
  const already = raised !== undefined && acked(state, group, raised, nowMs + FRESH_MS);
  return {
    drill: false,
    drafts: already ? [] : [{ kind: 'watch.acked', data: { person: group } }],
  };
}

/** How long it holds; what is told once is not asked about again, as the next step comes anyway. */
function notedLine(w: Words, state: TripState, group: string): Line {
  const raised = reached(state).get(group);
  return raised === undefined || isReminded(raised)
    ? w.say('done.ack', { min: handMin(state, group) })
    : w.say('done.ackOnce');
}

function nextLines(h: Home, group: string): Line[] {
  const { w, state } = h;
  const phase = phaseNow(state)?.phase;
  const rung = nextPhaseAt(state, phase, group);
  return [
    w.say('done.ackStands'),
    ...(rung === undefined ? [] : [w.say('done.ackNext', { when: when(h, rung.atMs) })]),
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
