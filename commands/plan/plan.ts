import type { App } from '../../src/app/app.ts';
import { clockTime } from '../../src/app/clock-time.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { asPaceLets } from '../../src/app/next-wall.ts';
import { hereOption, mustStillBeAt } from '../../src/app/still-there.ts';
import { checkLines, departureChecks } from '../../src/app/words/checks.ts';
import { daysWords } from '../../src/app/words/days.ts';
import { CAUTION, comingDownLines } from '../../src/app/words/forecast.ts';
import { anewLines, planLines } from '../../src/app/words/plan.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { missingWords } from '../../src/app/words/trip.ts';
import { pitchesDone, planDays } from '../../src/forecast/plan-days.ts';
import { begun } from '../../src/forecast/trip-days.ts';
import { change } from '../../src/record/change.ts';
import { readerOf } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { PLAN_DAYS } from '../../src/trip/kinds/plan.ts';
import { isOver } from '../../src/trip/mode.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  day: { type: 'integer', description: 'Day of the trip, from 1', min: 1, max: PLAN_DAYS },
  start: {
    type: 'string',
    description: "Its first move: 05:00; shuttle: the day's first one and the approach; usual",
    maxLength: 20,
  },
  check: { type: 'boolean', description: 'What to look at before you go, in one card' },
  way: {
    type: 'string',
    description: 'What is done where the plan no longer fits',
    hidden: true,
    choices: [
      { name: 'stay', value: 'stay' },
      { name: 'climb on', value: 'on' },
      { name: 'fix a pitch and come back', value: 'fix' },
      { name: 'on in the dark', value: 'dark' },
    ],
  },
  pitch: hereOption,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    plan: typeof options;
  }
}

type PlanArgs = Args<typeof options>;

export const plan = sub({
  description: 'Which day goes where: start, pitches, night, down',
  access: 'look',
  options,
  async run(call, args, app) {
    if (args.way !== undefined || args.start !== undefined) {
      return change(app, call, {
        decide: ({ state }) => [draftOf(state, args)],
        async answer({ before, after, events }) {
          const said = await shown(app, after, call);
          return {
            lines: [
              ...beyondLines(after, args, call.atMs),
              ...said,
              ...anewLines(before, after, call.atMs),
              CAUTION,
            ],
            buttons: [undoButton(events[0]?.seq ?? 0)],
          };
        },
      });
    }
    const { state } = await look(app, call);
    if (args.check === true) return checkCard(app, state, call);
    return {
      lines: [...(await shown(app, state, call)), CAUTION, ...hint(state)],
      buttons: state.departedAtMs === undefined ? [CHECKS] : [],
    };
  },
});

const CHECKS = {
  label: 'Checks before you go',
  press: { path: 'plan', options: { check: true } },
} as const;

/** What is in order before they go, what isn't, and what isn't known; the worst first. */
async function checkCard(app: App, state: TripState, call: Call): Promise<Reply> {
  if (state.departedAtMs !== undefined) {
    throw new Refusal('already-so', ['They have departed. How the plan stands: /plan']);
  }
  const forecast = await forecastOf(app, state, call.atMs);
  const checks = departureChecks(state, call.atMs, forecast);
  const open = checks.filter((c) => c.is !== 'ok').length;
  const missing = missingWords(state, readerOf(state, call.actor.id));
  return {
    lines: [
      open === 0 ? 'All checks are in order.' : `${open} of ${checks.length} checks are open.`,
      ...(missing.length === 0 ? [] : [`NO Missing: ${missing.join(', ')}.`]),
      ...checkLines(checks),
      CAUTION,
    ],
  };
}

async function shown(app: App, state: TripState, call: Call): Promise<Line[]> {
  if (isOver(state)) return ['Everyone is down.'];
  const down = comingDownLines(state, call.atMs);
  if (down !== undefined) return down;
  const forecast = await forecastOf(app, state, call.atMs);
  if (forecast === undefined) {
    throw new Refusal('no-topo', [
      'No topo yet, so nothing to plan.',
      '/topo load takes a CSV file.',
    ]);
  }
  const lines = planLines(state, forecast, call.atMs);
  if (begun(state) || state.departedAtMs !== undefined) return lines;
  // With nights planned, the plan is obeyed; how long the wall takes at their pace is another question.
  const free = state.bivyPlan.length === 0 ? forecast : await asPaceLets(app, state, call.atMs);
  return [...lines, `At this pace, with no night planned: ${daysWords(state, free)}.`];
}

/** What to set, for who has planned no night yet. */
function hint(state: TripState): Reply['lines'] {
  if (state.bivyPlan.length > 0 || state.departedAtMs !== undefined) return [];
  return [['All in one day. A night: ', { code: '/bivy plan pitch:' }]];
}

function draftOf(state: TripState, args: PlanArgs): Draft {
  return args.way === undefined ? startDraft(state, args) : wayDraft(state, args.way, args.pitch);
}

function wayDraft(
  state: TripState,
  way: NonNullable<PlanArgs['way']>,
  pitch: number | undefined,
): Draft {
  const done = pitchesDone(state);
  mustStillBeAt(state, pitch ?? -1);
  if (state.nights.some((night) => night.leftMs === undefined)) {
    throw new Refusal('button-over', [
      'They are settled for the night already.',
      'Nothing is changed. How the plan stands: /plan',
    ]);
  }
  if (way === 'on' && !state.bivyPlan.includes(done)) {
    throw new Refusal('already-so', `No night is planned after pitch ${done} any more.`);
  }
  return { kind: 'plan.chosen', data: { pitch: done, way } };
}

/** A start for a day that the plan doesn't need so far. */
function beyondLines(state: TripState, { day = 1, start }: PlanArgs, nowMs: number): Line[] {
  const days = planDays(state, nowMs).length;
  if (start === undefined || day <= days) return [];
  return [`Kept for day ${day}, should there be one: the plan has ${days} so far.`];
}

function startDraft(state: TripState, { day, start = '' }: PlanArgs): Draft {
  if (day === undefined) {
    throw new Refusal('needs-value', [
      'Of which day? /plan day:2 start:05:00',
      'Of all days: /trip edit start:',
    ]);
  }
  const typed = start.trim().toLowerCase();
  if (typed === 'usual') return { kind: 'plan.start', data: { day } };
  if (typed !== 'shuttle' && typed !== state.shuttle?.name.toLowerCase()) {
    return { kind: 'plan.start', data: { day, start: clockTime('start', start, '05:00 or 5am') } };
  }
  if (state.shuttle === undefined) {
    throw new Refusal('no-timetable', [
      'No shuttle is known yet.',
      ['Its times: ', { code: '/shuttle add name:boat times:' }],
    ]);
  }
  return { kind: 'plan.start', data: { day, start: 'shuttle' } };
}
