import { phaseNow, toldOf } from '../../src/alarm/ladder.ts';
import { FIELD, partyNames } from '../../src/alarm/who.ts';
import { ackButton, calledButton, fineButton, lastHeard } from '../../src/alarm/words/common.ts';
import { modeWords } from '../../src/alarm/words/mode.ts';
import { stepWords } from '../../src/alarm/words/step.ts';
import { overButton, troubleLines } from '../../src/alarm/words/trouble.ts';
import { setUpButtons } from '../../src/app/set-up.ts';
import { missingWords } from '../../src/app/words/trip.ts';
import { pitchesDone } from '../../src/forecast/plan-days.ts';
import { daysOf } from '../../src/forecast/trip-days.ts';
import type { Reader } from '../../src/record/membership.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { type Mode, modeOf } from '../../src/trip/mode.ts';
import { nameOf, pitchAt, type TripState } from '../../src/trip/state.ts';
import { frontTopMs, ropesBelow } from '../../src/trip/two-ropes.ts';
import type { Raised } from '../../src/trip/watch-state.ts';
import { holdOf } from '../../src/trip/wet-rock-hold.ts';
import { beforeLines } from './before.ts';

export interface NextSteps {
  lines: Line[];
  buttons: Button[];
}

/** Where the trip stands and what comes next: trouble first, then an alarm, then what the mode asks for. */
export function nextSteps(
  state: TripState,
  nowMs: number,
  hasPage: boolean,
  reader: Reader | 'climber' = 'crew',
): NextSteps {
  const troubles = openTroubles(state);
  const standing = phaseNow(state);
  if (reader === 'contact')
    return standing === undefined ? atHome(state, nowMs) : contactSteps(state, standing, nowMs);
  const raised = troubles.length > 0 ? undefined : standing;
  const mode = modeOf(state, nowMs);
  return {
    lines: [
      ...troubles.flatMap((trouble) => ['Trouble stands:', ...troubleLines(state, trouble, nowMs)]),
      ...(troubles.length === 0 ? [] : TROUBLE_WAYS),
      // Every answer to a climber begins with the alarm about them.
      ...(raised === undefined
        ? []
        : reader === 'climber'
          ? [IF_WELL]
          : alarmLines(state, raised, nowMs)),
      `${state.name}: ${modeWords(state, nowMs)}`,
      ...(mode.is === 'preparing' ? beforeLines(state, hasPage) : modeLines(mode, state, nowMs)),
    ],
    buttons: [
      ...troubles.slice(-1).map((trouble) => overButton(trouble)),
      ...(raised === undefined ? [] : [WELL]),
      ...(mode.is === 'preparing' ? setUpButtons(state) : []),
    ],
  };
}

/** To a contact while an alarm stands: what is known, and what they can do from home. */
function contactSteps(state: TripState, raised: Raised, nowMs: number): NextSteps {
  const troubles = openTroubles(state);
  const at = dayClock(state.zone, raised.dueMs, nowMs);
  return {
    lines: [
      ...(troubles.length === 0
        ? [`No word from ${partyNames(state)} yet: expected at ${at}.`]
        : troubles.flatMap((trouble) => [
            'Trouble stands:',
            ...troubleLines(state, trouble, nowMs),
          ])),
      lastHeard(state, nowMs),
      ['What stands and what comes next: ', { code: '/overdue show' }],
      ['What to read to the rescue service: ', { code: '/overdue sheet' }],
      ['What you have heard of them: ', { code: '/checkin ok words:' }],
      ...(troubles.length === 0 ? [] : [TROUBLE_OVER]),
    ],
    buttons: [
      ackButton(raised.seq),
      ...(raised.phase === 'distress' ? [calledButton(raised.seq)] : []),
      ...(troubles.length === 0
        ? [fineButton(raised.seq)]
        : troubles.slice(-1).map((trouble) => overButton(trouble))),
    ],
  };
}

/** To a contact while nothing is overdue: where it stands, and what there is for them. */
function atHome(state: TripState, nowMs: number): NextSteps {
  const out = state.departedAtMs !== undefined && state.downAtMs === undefined;
  const missing = missingWords(state, 'contact').join(', ');
  const over = state.closedAtMs !== undefined || state.downAtMs !== undefined;
  return {
    lines: [
      `${state.name}: ${modeWords(state, nowMs)}`,
      ['What is watched, and what comes next: ', { code: '/overdue show' }],
      ...(missing === '' || over ? [] : [`Still missing: ${missing}. Ask the party.`]),
      ...(out
        ? ([
            ['What you have heard of them: ', { code: '/checkin ok words:' }],
            ['What a rescue service would ask: ', { code: '/overdue sheet' }],
          ] as Line[])
        : []),
      ['To say yes to being contact, or to leave: ', { code: '/checkin contact' }],
    ],
    buttons: [],
  };
}

const TROUBLE_OVER: Line = ['Who knows that it is over: ', { code: '/trouble over said:' }];

const TROUBLE_WAYS: Line[] = [['What is new: ', { code: '/trouble update words:' }], TROUBLE_OVER];

const WELL: Button = {
  label: 'We are well',
  tone: 'main',
  press: { path: 'checkin ok', options: {} },
};

/** What has been started at home and by whom, and how a party that is well ends it. */
function alarmLines(state: TripState, raised: Raised, nowMs: number): Line[] {
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const told = toldOf(state, raised)
    .filter((id) => id !== FIELD)
    .map((id) => nameOf(state, id));
  const who = told.length === 0 ? 'nobody at home is told yet' : `told: ${told.join(', ')}`;
  const called = state.watch.called.at(-1);
  return [
    `An alarm stands: they were expected at ${at(raised.dueMs)}. Since ${at(raised.atMs)}: ${stepWords(raised)}; ${who}.`,
    ...(called === undefined || called.seq < raised.seq
      ? []
      : [`${called.by.name} noted at ${at(called.atMs)} that the rescue service was called.`]),
    IF_WELL,
  ];
}

const IF_WELL: Line = [
  'If all are well: ',
  { code: '/checkin ok' },
  '. If not: ',
  { code: '/trouble report what:' },
];

/** What the party can post from where it is. */
function modeLines(
  mode: Exclude<Mode, { is: 'preparing' }>,
  state: TripState,
  nowMs: number,
): Line[] {
  switch (mode.is) {
    case 'going in':
      return [['When the leader starts up: ', { code: '/pitch start' }], EACH_PITCH];
    case 'climbing':
      return climbing(state, nowMs);
    case 'settled':
      return [
        ...heldLines(state, nowMs),
        ['In the morning: ', { code: '/bivy leave' }],
        ['Another end of the rest: undo it, then ', { code: '/bivy settle until:05:30' }],
        ['A word for home: ', { code: '/checkin ok' }],
      ];
    case 'waiting':
      return waiting(mode.why);
    case 'retreating':
      return [
        ['After each rappel: ', { code: '/retreat rappel' }],
        ['Everyone down: ', { code: '/trip down' }],
        ['Climbing on again: ', { code: '/retreat stop' }],
        NIGHT,
      ];
    case 'going down':
      return [
        [
          'On the way: ',
          {
            code: `/trip down reached:${mode.point === undefined ? '"left the top"' : mode.point === 'off-top' ? '"at the foot"' : '"at the stop"'}`,
          },
        ],
        ['When everyone is down: ', { code: '/trip down' }],
      ];
    case 'down':
      return [
        ['How it went: ', { code: '/trip debrief' }],
        ['Keep the record: ', { code: '/log export' }, '. End the trip: ', { code: '/trip close' }],
      ];
    case 'closed':
      return [
        ['Keep the record: ', { code: '/log export' }, '. Another trip: ', { code: '/trip open' }],
      ];
  }
}

/** Who sleeps in rain, or in the hold after it, has more to weigh in the morning than when to go on. */
function heldLines(state: TripState, nowMs: number): Line[] {
  const hold = holdOf(state, nowMs);
  if (hold.state !== 'raining' && hold.state !== 'holding') return [];
  const first: Line =
    hold.state === 'raining'
      ? ['When the rain ends: ', { code: '/rain stop' }]
      : [
          `The rock is left alone until ${dayClock(state.zone, hold.untilMs, nowMs)}: `,
          { code: '/rain show' },
        ];
  return [first, ['On, sleep here or down, with the odds of each: ', { code: '/decide' }]];
}

const EACH_PITCH: Line = [
  'After each pitch: ',
  { code: '/pitch done' },
  ', or ',
  { code: '/pitch done at:-20m' },
];
const NIGHT: Line = ['Where you sleep: ', { code: '/bivy settle until:05:30' }];

/** After the stop time of the day, where it is time to lie down. */
function isLate(state: TripState, nowMs: number): boolean {
  const day = daysOf(state, nowMs).findLast((d) => d.startMs <= nowMs);
  return day !== undefined && nowMs >= day.stopMs;
}

/** At the ledge of a planned night: what is asked there, or what was chosen. */
function ledgeLines(state: TripState, nowMs: number): Line[] {
  const done = pitchesDone(state);
  const today = daysOf(state, nowMs).findLast((d) => d.startMs <= nowMs);
  const reachedMs = pitchAt(state, done)?.done?.atMs ?? 0;
  const isOpen = state.nights.every((night) => night.pitch !== done);
  if (!state.bivyPlan.includes(done) || done === state.pitches.length || !isOpen) return [];
  if (today === undefined || reachedMs < today.startMs || ropesBelow(state).length > 0) return [];
  const night: Line = ['Lying down here: ', { code: `/bivy settle pitch:${done} until:05:30` }];
  const { chosen } = state;
  const way = chosen?.pitch === done && chosen.atMs >= reachedMs ? chosen.way : undefined;
  const next = pitchAt(state, done + 1);
  if (way === 'on' || (way === undefined && (next?.started ?? next?.fixed))) return [];
  if (way === 'stay') return [night];
  const fixed: Line = ['When the line is fixed: ', { code: `/pitch fixed number:${done + 1}` }];
  if (way === 'fix')
    return pitchAt(state, done + 1)?.fixed === undefined ? [fixed, night] : [night];
  return [['On, sleep here or down, with the odds of each: ', { code: '/decide' }], night];
}

function climbing(state: TripState, nowMs: number): Line[] {
  const [behind] = frontTopMs(state) === undefined ? [] : ropesBelow(state);
  const late = isLate(state, nowMs);
  const atLedge = ledgeLines(state, nowMs);
  return [
    ...(atLedge.length === 0 && late ? [NIGHT] : atLedge),
    behind === undefined
      ? EACH_PITCH
      : ['After each pitch of theirs: ', { code: `/pitch done rope:${behind.rope}` }],
    [
      'Who leads: ',
      { code: '/lead next' },
      '. A wrong post: [Undo], or ',
      { code: '/pitch amend' },
    ],
    ['A pause: ', { code: '/pitch break' }, '. Coming down: ', { code: '/retreat begin' }],
    ...(late || atLedge.length > 0 ? [] : [NIGHT]),
    ...(state.departedAtMs === undefined
      ? [['The watch starts with ', { code: '/trip depart' }] as Line]
      : []),
  ];
}

function waiting(why: Extract<Mode, { is: 'waiting' }>['why']): Line[] {
  const down: Line = ['Coming down: ', { code: '/retreat begin' }];
  switch (why) {
    case 'rain':
      return [['When it ends: ', { code: '/rain stop' }], down, NIGHT];
    case 'wet rock':
      return [['The hold and what others advise: ', { code: '/rain show' }], down, NIGHT];
    default:
      return [['When you go on: ', { code: '/pitch break wait:over' }], down, NIGHT];
  }
}
