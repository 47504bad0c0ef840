import { sub } from '../../src/app/command.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { leadPitchOption } from './options.ts';

const options = { pitch: leadPitchOption('The lower of the two') } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead unlink': typeof options;
  }
}

export const unlink = sub({
  description: 'Make two leads of a link again',
  access: 'post',
  options,
  run: (call, { pitch: first }, app) =>
    change(app, call, {
      decide: () => [{ kind: 'lead.unlinked', data: { first } }],
      answer: ({ events }) => ({
        lines: [`Pitches ${first} and ${first + 1} are two leads again.`],
        buttons: undoButtons(events),
      }),
    }),
});
