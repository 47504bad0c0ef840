import { unmet, watched } from '../../src/alarm/expectations.ts';
import { phaseNow, reached } from '../../src/alarm/ladder.ts';
import { calledSince, hasInHand } from '../../src/alarm/repeats.ts';
import { reachable } from '../../src/alarm/who.ts';
import {
  ackButton,
  at,
  calledButton,
  expected,
  fineButton,
  lastHeard,
  nextPhaseAt,
} from '../../src/alarm/words/common.ts';
import { glanceIn } from '../../src/alarm/words/glance.ts';
import type { Home } from '../../src/alarm/words/home.ts';
import { planLines } from '../../src/alarm/words/plan.ts';
import { STEP } from '../../src/alarm/words/step.ts';
import { overButton, troubleLines } from '../../src/alarm/words/trouble.ts';
import type { App } from '../../src/app/app.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { isAtHome, wordsToward } from '../../src/app/toward.ts';
import { warnings } from '../../src/app/watch/warnings.ts';
import { readerOf } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { duration } from '../../src/time/format.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';
import type { AlarmPhase, Raised } from '../../src/trip/watch-state.ts';
import { toldName } from './words.ts';

/** What stands, before the time it is about, and what is to be done. */
type Stands = readonly [what: string, then?: string];
const CALL = 'call the rescue service if nobody has';

const STANDS: Readonly<Record<AlarmPhase, Stands>> = {
  due: ['A word was due, nothing heard yet'],
  uncertainty: ['No word; their contact is asked to try them'],
  alert: ['Overdue'],
  distress: ['Nothing heard for too long', CALL],
};

const options = {} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue show': typeof options;
  }
}

/** The watch at a glance. */
export const show = sub({
  description: 'What is overdue, who was told, what comes next',
  access: 'look',
  counts: 'vital',
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const w = wordsToward(state, call);
    if (isAtHome(state, call) && w.language !== 'en') return atHome({ w, state, nowMs: call.atMs });
    const raised = phaseNow(state);
    const trouble = openTroubles(state).at(-1);
    return {
      lines: [
        standingLine(state, call.atMs),
        ...openTroubles(state).flatMap((t) => troubleLines(state, t, call.atMs)),
        ...(watched(state) ? [lastHeard(state, call.atMs)] : []),
        ...(raised === undefined ? [] : toldLines(state, call.atMs)),
        ...comingLines(state, call.atMs),
        ...planLines(state, call.atMs),
        ...delayLines(state),
        ...warnings(state, app.withoutMail(), readerOf(state, call.actor.id)),
        ...(await undelivered(app, state)),
      ],
      buttons:
        raised === undefined
          ? []
          : [
              ackButton(raised.seq),
              // No word of being well ends a trouble.
              trouble === undefined ? fineButton(raised.seq) : overButton(trouble),
              calledButton(raised.seq),
            ],
    };
  },
});

/** To a contact in their own language, with what they can say about it. */
function atHome(h: Home): Reply {
  const { w, state } = h;
  const raised = phaseNow(state);
  const trouble = openTroubles(state).at(-1);
  return {
    lines: glanceIn(h),
    buttons:
      raised === undefined
        ? []
        : [
            ackButton(raised.seq, w),
            trouble === undefined ? fineButton(raised.seq, w) : overButton(trouble, w),
            calledButton(raised.seq, w),
          ],
  };
}

/** What stands, in one sentence. */
function standingLine(state: TripState, nowMs: number): Line {
  const raised = phaseNow(state);
  if (raised !== undefined) {
    if (raised.dueMs > nowMs) {
      return [
        'An alarm was told too soon, by a clock that was wrong; the time is ',
        at(state, raised.dueMs, nowMs),
        '.',
      ];
    }
    const [what, then] = standsWords(state, raised);
    return [
      `${what}, since `,
      at(state, raised.dueMs, nowMs),
      then === undefined ? '.' : `: ${then}.`,
    ];
  }
  if (state.closedAtMs !== undefined) return 'The trip is closed: nothing is watched.';
  if (state.downAtMs !== undefined) return 'Everyone is down: nothing is watched.';
  if (!watched(state)) return 'Not departed: nobody is watching the clock yet.';
  return reachable(state).length === 0
    ? 'Nothing is overdue so far. Nobody at home would hear of it if it were.'
    : 'Nothing is overdue.';
}

function standsWords(state: TripState, { phase, root, ...raised }: Raised): Stands {
  if (calledSince(state, { phase, root, ...raised }))
    return ['The rescue service was called; nobody has been heard from'];
  if (root.startsWith('trouble:'))
    return phase === 'distress' ? ['Trouble', CALL] : ['Trouble, and they say that they cope'];
  return root === 'callout' && phase === 'distress'
    ? ['The call-out time has passed', CALL]
    : STANDS[phase];
}

function toldLines(state: TripState, nowMs: number): Line[] {
  const told = [...reached(state)].map(([group, raised]) => {
    const name = toldName(state, group);
    return hasInHand(state, group, raised, nowMs) ? `${name} (has it)` : name;
  });
  return [`Told: ${told.join(', ')}.`];
}

/** The next step that is not taken yet. */
function comingLines(state: TripState, nowMs: number): Line[] {
  const phase = phaseNow(state)?.phase;
  const next = nextPhaseAt(state, phase);
  const [open] = unmet(state);
  if (next === undefined || open === undefined) return [];
  if (phase === undefined) {
    return [['Next expected: ', expected(open), at(state, open.dueMs, nowMs), '.']];
  }
  const whom = next.groups.map((g) => toldName(state, g));
  return [
    [
      `If nothing is heard: ${STEP[next.phase]} at `,
      at(state, next.atMs, nowMs),
      `, told to ${whom.join(', ')}.`,
    ],
  ];
}

function delayLines(state: TripState): Line[] {
  const { delays, delaysOf } = state.watch;
  const own = [...delaysOf].map(([id, d]) => {
    const parts = [
      d.uncertaintyMin === undefined ? [] : [`told after ${duration(d.uncertaintyMin)}`],
      d.alertMin === undefined ? [] : [`overdue after ${duration(d.alertMin)}`],
    ].flat();
    return parts.length === 0 ? [] : [`${nameOf(state, id)}: ${parts.join(', ')}.`];
  });
  return [
    `Contact told ${duration(delays.uncertaintyMin)} after a missed time, overdue after ${duration(delays.alertMin)}.`,
    ...own.flat(),
  ];
}

/** Nothing fails in silence: what has not got through stands here. */
async function undelivered(app: App, state: TripState): Promise<Line[]> {
  const rows = await app.store.notices(state.id);
  const stuck = rows.filter(
    (n) =>
      n.status === 'failed' || n.status === 'expired' || (n.status === 'pending' && n.attempts > 0),
  );
  return stuck.slice(-5).map((n) => {
    const to = (n.data as { to?: string }).to ?? '';
    const name = toldName(state, to);
    const how = n.status === 'pending' ? 'trying again' : 'did not get through';
    return `To ${name}: ${how} (${n.lastError ?? 'no reason'}).`;
  });
}
