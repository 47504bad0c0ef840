import { sub } from '../../src/app/command.ts';
import { pitchOption } from '../../src/app/options.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';

const options = { number: { ...pitchOption('Pitch number'), required: true } } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'topo remove': typeof options;
  }
}

/** Takes the topmost pitch off; others would renumber what was told. */
export const remove = sub({
  description: 'Take the last pitch off',
  access: 'post',
  options,
  run: (call, { number }, app) =>
    change(app, call, {
      decide({ state }) {
        if (state.pitches.length === 0)
          throw new Refusal('no-topo', 'There is no topo; nothing to take off.');
        if (number !== state.pitches.length) {
          throw new Refusal('not-the-last-pitch', [
            `Only the last pitch (${state.pitches.length}) can be taken off: the others' numbers are in the record.`,
            '/topo edit changes any of them; /topo load replaces the whole topo.',
          ]);
        }
        return [{ kind: 'topo.removed', data: { number } }];
      },
      answer: ({ after, events }) => ({
        lines: [`Pitch ${number} is off the topo; ${after.pitches.length} are left.`],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      }),
    }),
});
