import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { progressLines } from '../../src/app/progress.ts';
import { toldTime } from '../../src/app/when.ts';
import { climberMeant } from '../../src/app/who.ts';
import { entryWords, undoButton } from '../../src/app/words/post.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { effective } from '../../src/trip/effective.ts';
import type { TripEvent } from '../../src/trip/event.ts';
import { mendOther, type No } from '../../src/trip/rules/no.ts';
import type { TripState } from '../../src/trip/state.ts';
import { type EntryInput, entryMeant } from './entry.ts';

export interface AmendInput extends EntryInput {
  at?: string | undefined;
  /** The pitch it should have named. */
  to?: number | undefined;
  leader?: string | undefined;
}

/** Mends a post: another time, pitch or leader. The old words stay in the record. */
export function amendPost(app: App, call: Call, input: AmendInput): Promise<Reply> {
  let note: string | undefined;
  return change(app, call, {
    decide({ state }) {
      const { event } = entryMeant(state, call, input);
      const stands = standing(state, event.id) ?? event;
      // Yesterday's post is mended to a time of yesterday.
      const told =
        input.at === undefined ? undefined : toldTime(state, call, input.at, 'past', stands.atMs);
      note = told?.note;
      return [
        {
          kind: 'log.amended',
          data: {
            target: event.id,
            ...(told === undefined ? {} : { atMs: told.atMs }),
            ...(input.to === undefined ? {} : { pitch: input.to }),
            ...(input.leader === undefined ? {} : { leader: climberMeant(state, input.leader).id }),
          },
          ...(told?.typed === undefined ? {} : { typed: told.typed }),
        },
      ];
    },
    async answer({ after, events }) {
      const made = events[0] as TripEvent<string, { target: string }>;
      const target = after.entries.find((e) => e.event.id === made.data.target);
      const stands = standing(after, made.data.target);
      const words = stands === undefined ? 'a post' : entryWords(after, stands, call.atMs);
      return {
        lines: [
          `Amended: ${words} (entry ${target?.event.seq}).`,
          ...(note === undefined ? [] : [note]),
          ...(await progressLines(app, after, call.atMs)),
        ],
        buttons: [undoButton(made.seq)],
      };
    },
    refuse: (found, { state }) => refuse(found, state, call, input),
  });
}

/** A post as it reads now, its amendments applied; undefined when it is struck. */
function standing(state: TripState, id: string): TripEvent | undefined {
  return effective(state.entries.map((e) => e.event)).events.find((e) => e.id === id);
}

/** Two times contradict each other, and one is the post being mended: the way out is the other. */
function refuse(found: No, state: TripState, call: Call, input: AmendInput): Refusal {
  if (found.clash === undefined) return refusalOf(found);
  const own = entryMeant(state, call, input).event.seq;
  return new Refusal([found.text, mendOther(found.clash, own)]);
}
