import { type Args, type Call, sub } from '../../src/app/command.ts';
import { noteOption } from '../../src/app/options.ts';
import { progressLines } from '../../src/app/progress.ts';
import { entryWords, undoButtons } from '../../src/app/words/post.ts';
import { LIMITS } from '../../src/limits.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import type { Loaded } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { effective } from '../../src/trip/effective.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import { actOf } from '../../src/trip/kinds/acts.ts';
import { pitchOf } from '../../src/trip/kinds/pitch.ts';
import type { No } from '../../src/trip/rules/no.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import type { LogEntry, TripState } from '../../src/trip/state.ts';
import { type EntryArgs, entryMeant } from './entry.ts';
import { entryOptions } from './options.ts';

const options = {
  ...entryOptions,
  why: noteOption('Why, for the record'),
  /** Last of a run of posts told in one go. */
  until: {
    type: 'integer',
    description: 'Last of several',
    hidden: true,
    min: 1,
    max: LIMITS.entry,
  },
  /** Also what was told of the pitches above, which can't stand without it. */
  above: { type: 'boolean', description: 'With the pitches above', hidden: true },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch strike': typeof options;
  }
}

/** Takes a post out of what counts. It stays in the record, and striking the strike brings it back. */
export const strike = sub({
  description: 'Take a wrong post out; it stays in the record',
  access: 'post',
  options,
  run(call, args, app) {
    let struck: LogEntry[] = [];
    let stood: Fact[] = [];
    return change(app, call, {
      decide({ state }) {
        struck = targets(state, call, args);
        stood = effective(state.entries.map((e) => e.event)).facts;
        return struck.map(
          ({ event }): Draft => ({
            kind: 'log.struck',
            data: { target: event.id, ...(args.why === undefined ? {} : { why: args.why }) },
          }),
        );
      },
      async answer({ after, events }) {
        return {
          lines: [
            struckWords(after, struck, stood, call.atMs),
            ...(await progressLines(app, after, call.atMs)),
          ],
          buttons: undoButtons(events),
        };
      },
      refuse: (found, loaded) => refuse(found, loaded, call, args),
    });
  },
});

/** `Struck: pitch 5 done at 14:22 (entry 12).` */
function struckWords(
  after: TripState,
  struck: readonly LogEntry[],
  stood: readonly Fact[],
  nowMs: number,
): string {
  const back = broughtBack(after, struck);
  // As it was amended, before it was struck or now that it counts again.
  const as = back.length > 0 ? effective(after.entries.map((e) => e.event)).facts : stood;
  const shown = (back.length > 0 ? back : struck).map(
    ({ event }) => as.find((fact) => fact.id === event.id) ?? event,
  );
  const numbers = list(shown.map((e) => e.seq).sort((a, b) => a - b));
  // More than two would fill a phone; the record lists them.
  const what =
    shown.length > 2
      ? `${shown.length} posts`
      : shown.map((event) => entryWords(after, event, nowMs)).join('; ');
  const entries = `${shown.length === 1 ? 'entry' : 'entries'} ${numbers}`;
  return `${back.length > 0 ? 'Brought back' : 'Struck'}: ${what} (${entries}).`;
}

/** Striking a strike brings its post back; empty when something else was struck. */
function broughtBack(state: TripState, struck: readonly LogEntry[]): LogEntry[] {
  const targets = struck.flatMap((e) => {
    const act = actOf(e.event);
    return act?.does === 'strike' ? [act.target] : [];
  });
  if (targets.length < struck.length) return [];
  return state.entries.filter((e) => targets.includes(e.event.id));
}

/** The newest first, so that each strike on its own would leave a trip that may be. */
function targets(state: TripState, call: Call, args: Args<typeof options>): LogEntry[] {
  const aim = entryMeant(state, call, args);
  const { seq } = aim.event;
  const run = state.entries.filter(
    (e) =>
      e.struckBy === undefined &&
      (e === aim || (e.event.seq > seq && e.event.seq <= (args.until ?? seq))),
  );
  const above = args.above === true ? toldAbove(state, aim) : [];
  const all = [...new Set([...run, ...above])];
  return (all.length > 0 ? all : [aim]).sort((a, b) => b.event.seq - a.event.seq);
}

function toldAbove(state: TripState, aim: LogEntry): LogEntry[] {
  const number = pitchOf(aim.event);
  if (number === undefined) return [];
  const ids = state.pitches
    .filter((p) => p.number > number)
    .flatMap((p) => [p.started?.eventId, p.fixed?.eventId, p.done?.eventId]);
  return state.entries.filter((e) => ids.includes(e.event.id));
}

/** These speak of the strike itself. */
const NAMED: readonly No['rule'][] = ['closed', 'already-struck', 'cannot-strike', 'too-many'];

function refuse(found: No, { state }: Loaded, call: Call, args: EntryArgs): Refusal {
  const { event } = entryMeant(state, call, args);
  if (NAMED.includes(found.rule)) return refusalOf(found);
  if (found.rule !== 'previous-not-done' && found.rule !== 'previous-not-reached') {
    return new Refusal(found.rule, [
      `Entry ${event.seq} can't be taken out: later posts stand on it.`,
      found.text,
      '/log show lists them; strike those first.',
    ]);
  }
  return new Refusal(
    found.rule,
    [
      `Later pitches stand on that one: ${found.text}`,
      'If only the time is wrong, change that instead.',
    ],
    [
      {
        label: 'Strike those above as well',
        press: { path: 'pitch strike', options: { entry: event.seq, above: true } },
      },
    ],
  );
}
