import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { currentPitch } from '../../src/trip/state.ts';

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
