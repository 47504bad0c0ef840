import type { App } from '../../src/app/app.ts';
import { clockTime } from '../../src/app/clock-time.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { waysFromHere } from '../../src/app/deciding.ts';
import { runQuick } from '../../src/app/forecast/run.ts';
import { typedWeather } from '../../src/app/weather/typed.ts';
import { climberMeant, suggestClimbers } from '../../src/app/who.ts';
import { CAUTION, present, troubleCaution } from '../../src/app/words/forecast.ts';
import { rainWords, spellSpan } from '../../src/app/words/weather.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { LIMITS } from '../../src/limits.ts';
import type { Loaded, Records } from '../../src/record/records.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { currentPitch, nameOf, type TripState } from '../../src/trip/state.ts';
import { frontTopMs } from '../../src/trip/two-ropes.ts';
import { weatherNow } from '../../src/trip/weather.ts';
import { waitDraft } from '../pitch/wait.ts';

const options = {
  wait: {
    type: 'string',
    description: 'What if they wait first: 2h, or until 16:00',
    maxLength: 40,
  },
  leads: {
    type: 'string',
    description: 'What if this climber leads all that is left',
    maxLength: LIMITS.nameLength,
    suggest: suggestClimbers,
  },
  start: { type: 'string', description: 'What if tomorrow begins at: 05:00', maxLength: 20 },
  rain_from: {
    type: 'string',
    description: 'What if it rains from: 23:00, or 23:00–04:00',
    maxLength: 40,
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    decide: typeof options;
  }
}

/** On, sleep here, down: side by side, and what can't be done. Nothing is changed by it. */
export const decide = sub({
  description: 'On, sleep here, or down: when home by each, and until when each can be chosen',
  access: 'look',
  options,
  async run(call, args, app) {
    const loaded = await look(app, call);
    mustHaveChoice(loaded.state, call.atMs);
    const { drafts, said, waitMs } = whatIf(loaded, call, args);
    const state =
      drafts.length === 0 ? loaded.state : considered(app.records, loaded, drafts, call);
    const { where, table, why, buttons } = await waysFromHere(app, state, call.atMs, waitMs);
    const rain = args.rain_from === undefined ? undefined : await rainOnTheWay(app, state, call);
    return {
      lines: present([troubleCaution(state), `${said}${where}`]),
      table,
      after: [[why, rain, CAUTION].filter(Boolean).join(' ')],
      // A press would be carried out without what was only supposed.
      buttons: drafts.length === 0 ? buttons : [],
    };
  },
});

/** Where the supposed rain finds them, and what the hold then costs. */
async function rainOnTheWay(app: App, state: TripState, call: Call): Promise<string | undefined> {
  return rainWords(state, await runQuick(app, forecastInput(state, call.atMs)), call.atMs);
}

function mustHaveChoice(state: TripState, nowMs: number): void {
  if (state.pitches.length === 0) {
    throw new Refusal('no-topo', [
      'Without a topo there is nothing to compare.',
      ['Load one: ', { code: '/topo load' }],
    ]);
  }
  const { is } = modeOf(state, nowMs);
  if (frontTopMs(state) !== undefined && is !== 'going down' && is !== 'down' && is !== 'closed') {
    throw new Refusal('nothing-left', [
      'The rope in front is on top; this compares the ways from the stance they left.',
      ['When all are up, and home: ', { code: '/topout' }],
    ]);
  }
  if (is === 'climbing' || is === 'waiting' || is === 'settled') return;
  const why = {
    preparing: 'They have not departed yet. The plan: /plan',
    'going in': 'They are on the way in. The plan: /plan',
    retreating: 'They are coming down already. The way: /retreat compare',
    'going down': 'They are past the top. When home: /topout',
    down: 'Everyone is down.',
    closed: 'The trip is closed.',
  }[is];
  throw new Refusal('nothing-left', why);
}

type DecideArgs = Args<typeof options>;

/** What is supposed, as facts that nobody records, and the words that say so. */
function whatIf(
  { state }: Loaded,
  call: Call,
  { wait, leads, start, rain_from: rain }: DecideArgs,
): { drafts: Draft[]; said: string; waitMs: number } {
  const drafts: Draft[] = [];
  let waitMs = call.atMs;
  const parts: string[] = [];
  if (wait !== undefined) {
    const draft = waitDraft(state, call, { wait });
    drafts.push(draft);
    if (draft.kind === 'wait.began') waitMs = draft.data.untilMs ?? waitMs;
    parts.push(`they wait ${wait}`);
  }
  if (leads !== undefined) {
    const { id } = climberMeant(state, leads);
    const from = currentPitch(state)?.number ?? 1;
    for (const { number } of state.pitches.slice(from - 1)) {
      drafts.push({ kind: 'lead.assigned', data: { pitch: number, leader: id } });
    }
    parts.push(`${nameOf(state, id)} leads`);
  }
  if (start !== undefined) {
    const at = clockTime('start', start, '05:00 or 5am');
    drafts.push({ kind: 'trip.edited', data: { settings: { startClock: at } } });
    parts.push(`tomorrow begins at ${at}`);
  }
  if (rain !== undefined) {
    const { zone, units } = state;
    // The other weather that was told goes on.
    const told = weatherNow(state, call.atMs)?.spells ?? [];
    const until = /\d.*(-|–|\bto\b|\buntil\b)/iu.test(rain) ? '' : 'from ';
    const [spell] = typedWeather(`rain ${until}${rain}`, { zone, units, nowMs: call.atMs });
    if (spell === undefined) throw new Error('a clause without a spell');
    drafts.push({
      kind: 'weather.told',
      data: { from: 'typed', spells: [...told.slice(0, 200), spell] },
    });
    parts.push(`it rains ${spellSpan(state, spell, call.atMs)}`);
  }
  return {
    drafts,
    said: parts.length === 0 ? '' : `If ${parts.join(' and ')} (nothing is changed): `,
    waitMs,
  };
}

function considered(
  records: Pick<Records, 'consider'>,
  loaded: Loaded,
  drafts: readonly Draft[],
  call: Call,
): TripState {
  const result = records.consider(loaded, drafts, call.actor, call.atMs);
  if (result.ok) return result.value.after.state;
  throw new Refusal(result.no.rule, [result.no.text]);
}
