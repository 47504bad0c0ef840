import { effective } from '../../trip/effective.ts';
import type { TripEvent } from '../../trip/event.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { progressLines } from '../progress.ts';
import type { Reply } from '../reply.ts';
import { toldTime } from '../when.ts';
import { climberMeant } from '../who.ts';
import { entryWords, undoButton } from '../words/post.ts';
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
      const told = input.at === undefined ? undefined : toldTime(state, call, input.at);
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
      const mended = target && standingWords(after, target.event.id, call.atMs);
      return {
        lines: [
          `Amended: ${mended ?? 'entry'} (entry ${target?.event.seq}).`,
          ...(note === undefined ? [] : [note]),
          ...(await progressLines(app, after, call.atMs)),
        ],
        buttons: [undoButton(made.seq)],
      };
    },
  });
}

/** A post as it reads now, its amendments applied. */
function standingWords(
  state: Parameters<typeof entryWords>[0],
  id: string,
  nowMs: number,
): string | undefined {
  const event = effective(state.entries.map((e) => e.event)).events.find((e) => e.id === id);
  return event === undefined ? undefined : entryWords(state, event, nowMs);
}
