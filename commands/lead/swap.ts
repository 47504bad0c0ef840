import { sub } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { leads } from '../../src/trip/rotation.ts';
import { nameOf } from '../../src/trip/state.ts';
import { leadPitchOption, sureOption } from './options.ts';
import { previewed } from './preview.ts';
import { mustBeOpen, reassignedLines } from './reassign.ts';

const options = {
  a: leadPitchOption('One pitch'),
  b: leadPitchOption('The other'),
  sure: sureOption,
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead swap': typeof options;
  }
}

export const swap = sub({
  description: 'Exchange the leaders of two pitches',
  access: 'post',
  options,
  run: (call, { a, b, sure }, app) =>
    previewed(app, call, {
      sure: sure === true,
      button: {
        label: 'Swap them',
        press: { path: 'lead swap', options: { a, b, sure: true } },
      },
      decide(state) {
        mustBeOpen(state, a);
        mustBeOpen(state, b);
        const all = leads(state);
        const [leaderA, leaderB] = [all[a - 1]?.leader, all[b - 1]?.leader];
        if (leaderA === undefined || leaderB === undefined) {
          throw new Refusal('nobody-there', 'Nobody is there to swap: /roster add.');
        }
        if (leaderA === leaderB) {
          throw new Refusal(
            'already-so',
            a === b
              ? 'That is one pitch; name two.'
              : `${nameOf(state, leaderA)} leads both, ${a} and ${b}; nothing to swap.`,
          );
        }
        return [{ kind: 'lead.swapped', data: { a, b, leaderA, leaderB } }];
      },
      lines: (before, after) => reassignedLines(before, after, [a, b]),
    }),
});
