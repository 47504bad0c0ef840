import { dayClock, duration } from '../../time/format.ts';
import { currentPitch } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Reply } from '../reply.ts';
import { toldTime } from '../when.ts';
import { changeTimeButton, undoButton } from '../words/post.ts';

/** Marks a rest inside a pitch, so that the party's pace isn't learnt from it. */
export function postBreak(
  app: App,
  call: Call,
  input: { minutes: number; at?: string | undefined; number?: number | undefined },
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const pitch = input.number ?? currentPitch(state)?.number;
      if (pitch === undefined) throw new Refusal('No pitch is under way; name one: number:5.');
      const told = toldTime(state, call, input.at);
      return [{ kind: 'pitch.break', data: { pitch, minutes: input.minutes }, ...told }];
    },
    answer({ after, events }) {
      const made = events[0];
      if (made === undefined) return { lines: ['Nothing to mark.'] };
      const number = (made.data as { pitch: number }).pitch;
      const until = dayClock(after.zone, made.atMs, call.atMs);
      return {
        lines: [
          `Break of ${duration(input.minutes)} on pitch ${number} until ${until}, left out of the pace.`,
        ],
        buttons: [undoButton(made.seq), changeTimeButton(made.seq)],
      };
    },
  });
}
