import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { progressLines } from '../../src/app/progress.ts';
import { entryWords, undoButton } from '../../src/app/words/post.ts';
import { change, type Draft, refusalOf } from '../../src/record/change.ts';
import type { Loaded } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { No } from '../../src/trip/rules/no.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import type { LogEntry, TripState } from '../../src/trip/state.ts';
import { type EntryInput, entryMeant } from './entry.ts';

export interface StrikeInput extends EntryInput {
  why?: string | undefined;
  /** Last of a run of entries told in one go. */
  until?: number | undefined;
  /** Also what was told of the pitches above, which can't stand without it. */
  above?: boolean | undefined;
}

/** Takes a post out of what counts. It stays in the record, and striking the strike brings it back. */
export function strikePost(app: App, call: Call, input: StrikeInput): Promise<Reply> {
  let struck: LogEntry[] = [];
  return change(app, call, {
    decide({ state }) {
      struck = targets(state, call, input);
      return struck.map(
        ({ event }): Draft => ({
          kind: 'log.struck',
          data: { target: event.id, ...(input.why === undefined ? {} : { why: input.why }) },
        }),
      );
    },
    async answer({ after, events }) {
      const back = broughtBack(after, struck);
      const shown = (back.length > 0 ? back : struck).map((e) => e.event);
      const numbers = list(shown.map((e) => e.seq).sort((a, b) => a - b));
      // More than two would fill a phone; the record lists them.
      const what =
        shown.length > 2
          ? `${shown.length} posts`
          : shown.map((event) => entryWords(after, event, call.atMs)).join('; ');
      const first = events[0]?.seq;
      return {
        lines: [
          `${back.length > 0 ? 'Brought back' : 'Struck'}: ${what} ` +
            `(${shown.length === 1 ? 'entry' : 'entries'} ${numbers}).`,
          ...(await progressLines(app, after, call.atMs)),
        ],
        buttons:
          first === undefined
            ? []
            : events.length === 1
              ? [undoButton(first)]
              : [
                  {
                    label: 'Undo',
                    press: {
                      path: 'pitch strike',
                      options: { entry: first, until: first + events.length - 1 },
                    },
                  },
                ],
      };
    },
    refuse: (found, loaded) => refuse(found, loaded, call, input),
  });
}

/** Striking a strike brings its post back; empty when something else was struck. */
function broughtBack(state: TripState, struck: readonly LogEntry[]): LogEntry[] {
  if (!struck.every((e) => e.event.kind === 'log.struck')) return [];
  const targets = struck.map((e) => (e.event.data as { target: string }).target);
  return state.entries.filter((e) => targets.includes(e.event.id));
}

/** The newest first, so that each strike on its own would leave a trip that may be. */
function targets(state: TripState, call: Call, input: StrikeInput): LogEntry[] {
  const aim = entryMeant(state, call, input);
  const { seq } = aim.event;
  const run = state.entries.filter(
    (e) =>
      e.struckBy === undefined &&
      (e === aim || (e.event.seq > seq && e.event.seq <= (input.until ?? seq))),
  );
  const above = input.above === true ? toldAbove(state, aim) : [];
  const all = [...new Set([...run, ...above])];
  return (all.length > 0 ? all : [aim]).sort((a, b) => b.event.seq - a.event.seq);
}

function toldAbove(state: TripState, aim: LogEntry): LogEntry[] {
  const number = (aim.event.data as { pitch?: number }).pitch;
  if (number === undefined) return [];
  const ids = state.pitches
    .filter((p) => p.number > number)
    .flatMap((p) => [p.started?.eventId, p.fixed?.eventId, p.done?.eventId]);
  return state.entries.filter((e) => ids.includes(e.event.id));
}

/** These speak of the strike itself. */
const NAMED: readonly No['rule'][] = ['closed', 'already-struck', 'cannot-strike', 'too-many'];

function refuse(found: No, { state }: Loaded, call: Call, input: StrikeInput): Refusal {
  const { event } = entryMeant(state, call, input);
  if (NAMED.includes(found.rule)) return refusalOf(found);
  if (found.rule !== 'previous-not-done' && found.rule !== 'previous-not-reached') {
    return new Refusal([
      `Entry ${event.seq} can't be taken out: later posts stand on it.`,
      found.text,
      '/log show lists them; strike those first.',
    ]);
  }
  return new Refusal(
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
