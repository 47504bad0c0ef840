import { unmet, watched } from '../alarm/expectations.ts';
import { phaseNow, toldOf } from '../alarm/ladder.ts';
import { hasInHand } from '../alarm/repeats.ts';
import { standDownOf } from '../alarm/stand-down.ts';
import { FIELD } from '../alarm/who.ts';
import { at, expected } from '../alarm/words/common.ts';
import { standDownButtons, standDownLines } from '../alarm/words/stand-down.ts';
import { TOLD_OF } from '../alarm/words/step.ts';
import { WE_ARE_WELL } from '../record/agree.ts';
import type { Call } from '../record/call.ts';
import { personOf } from '../record/membership.ts';
import { findRow } from '../record/trips.ts';
import { bare } from '../say/message.ts';
import type { Line, Reply } from '../say/reply.ts';
import { openTroubles } from '../trip/conditions.ts';
import { nameOf, type TripState } from '../trip/state.ts';
import type { Raised } from '../trip/watch-state.ts';
import type { App } from './app.ts';
import { wordsToward } from './toward.ts';

/**
 * Whatever a climber of the party asks or posts while an alarm about the party stands is answered with
 * that first: what was not heard, what was started at home and by whom, and [We are well].
 */
export async function withAlarm(app: App, call: Call, reply: Reply): Promise<Reply> {
  const state = await stateOf(app, call);
  if (state === undefined) return reply;
  const person = personOf(state, call.actor.id);
  if (person === undefined) return reply;
  if (standDownOf(state) !== undefined) {
    return withStandDown(state, call, ended(state, call, reply));
  }
  if (!watched(state) || !person.roles.includes('climber')) return reply;
  const raised = phaseNow(state);
  // Trouble has its own words, and no sign of life ends it.
  if (raised === undefined || openTroubles(state).length > 0) return ended(state, call, reply);
  const offered = (reply.buttons ?? []).some((b) => b.press.path === 'checkin ok');
  return {
    ...reply,
    lines: [...alarmLines(state, raised, call.atMs), ...reply.lines],
    buttons: [...(offered ? [] : [WE_ARE_WELL]), ...(reply.buttons ?? [])],
  };
}

/** The trip as it is after the call; undefined where there is none to be found. */
async function stateOf(app: App, call: Call): Promise<TripState | undefined> {
  try {
    return (await app.records.read(await findRow(app, call))).state;
  } catch {
    // Whatever is wrong with it, the answer itself has said so.
    return undefined;
  }
}

function alarmLines(state: TripState, raised: Raised, nowMs: number): Line[] {
  const open = unmet(state).find((e) => e.key === raised.root && e.dueMs === raised.dueMs);
  return [
    [
      'An alarm stands about you: ',
      ...(open === undefined ? [] : [expected(open)]),
      at(state, raised.dueMs, nowMs),
      ', and nothing was heard. Are you well? Say so first.',
    ],
    ...homeLines(state, nowMs),
  ];
}

/** What was started at home, and by whom. Who called is left to the words for standing down, where those follow. */
function homeLines(state: TripState, nowMs: number): Line[] {
  const top = new Map<string, Raised>();
  for (const raised of state.watch.raised) {
    for (const group of toldOf(state, raised)) if (group !== FIELD) top.set(group, raised);
  }
  const told = [...top].map(([group, raised]) => {
    const hand = hasInHand(state, group, raised, nowMs) ? ', has it in hand' : '';
    return `${nameOf(state, group)} (${TOLD_OF[raised.phase]}${hand})`;
  });
  const called = standDownOf(state) === undefined ? state.watch.called.at(-1) : undefined;
  return [
    told.length === 0 ? 'Nobody at home was told so far.' : `Told at home: ${told.join(', ')}.`,
    ...(called === undefined
      ? []
      : [
          [
            `${called.by.name} called the rescue service, `,
            at(state, called.atMs, nowMs),
            '.',
          ] as Line,
        ]),
  ];
}

/** The post itself was the sign of life: what it ended, and what is left to do at home. */
function ended(state: TripState, call: Call, reply: Reply): Reply {
  const sign = state.watch.signs.findLast(
    (s) => s.recordedAtMs === call.atMs && s.by.id === call.actor.id,
  );
  const said = reply.lines.some((line) => bare(line).includes('alarm is over'));
  if (sign === undefined || said || openTroubles(state).length > 0) return reply;
  const last = state.watch.signs.findLast((s) => s.seq < sign.seq)?.seq ?? 0;
  // Alarms since the last word are what this word has ended; that of a trouble ended with the trouble.
  const isEnded = ({ seq, root }: Raised) =>
    seq < sign.seq && seq > last && !root.startsWith('trouble:');
  if (!state.watch.raised.some(isEnded)) return reply;
  return {
    ...reply,
    lines: [...reply.lines, 'With this word the alarm is over.', ...homeLines(state, call.atMs)],
  };
}

/** Until the rescue service knows, everybody of the roster is told who is to tell it. */
function withStandDown(state: TripState, call: Call, reply: Reply): Reply {
  const w = wordsToward(state, call);
  const offered = (reply.buttons ?? []).some((b) => b.press.path === 'overdue resolve');
  if (offered) return reply;
  return {
    ...reply,
    lines: [...reply.lines, ...standDownLines(state, call.atMs, w)],
    buttons: [...standDownButtons(state, w), ...(reply.buttons ?? [])],
  };
}
