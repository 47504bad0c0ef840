import { sub } from '../../src/app/command.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { leads } from '../../src/trip/rotation.ts';
import { linkLimitM } from '../../src/trip/rules/leading.ts';
import { nameOf, pitchAt, type TripState } from '../../src/trip/state.ts';
import { lengthText } from '../../src/trip/units.ts';
import { leadPitchOption } from './options.ts';

const options = { pitch: leadPitchOption('The lower of the two') } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead link': typeof options;
  }
}

/** Two pitches in one lead, as long as the lead line less its margin reaches. */
export const link = sub({
  description: 'Climb a pitch and the next in one lead',
  access: 'post',
  options,
  run: (call, { pitch: first }, app) =>
    change(app, call, {
      decide({ state }) {
        if (state.links.has(first)) {
          throw new Refusal('already-so', `Pitches ${first} and ${first + 1} are linked already.`);
        }
        mustBeToCome(state, first);
        return [{ kind: 'lead.linked', data: { first } }];
      },
      // The rule's second way is for a link that stands already.
      refuse: ({ rule, text, ways = [] }) => new Refusal(rule, [text, ...ways.slice(0, 1)]),
      answer({ after, events }) {
        const lengthM = [first, first + 1].reduce(
          (sum, n) => sum + (pitchAt(after, n)?.lengthM ?? 0),
          0,
        );
        const spare = lengthText(linkLimitM(after) - lengthM, after.units);
        const leader = leads(after)[first - 1]?.leader;
        const who = leader === undefined ? 'One leader takes' : `${nameOf(after, leader)} leads`;
        return {
          lines: [
            `Pitches ${first} and ${first + 1} in one lead, ${lengthText(lengthM, after.units)}. ${who} both.`,
            `${spare} of the lead line's reach to spare, its margin kept.`,
          ],
          buttons: undoButtons(events),
        };
      },
    }),
});

function mustBeToCome(state: TripState, first: number): void {
  const told = [first, first + 1].find((n) => pitchAt(state, n)?.done !== undefined);
  if (told !== undefined) {
    throw new Refusal('already-told', [
      `Pitch ${told} is done already; nothing to link.`,
      `If it was one lead, tell the upper one with the same time: /pitch done number:${first + 1}`,
    ]);
  }
  const other = [first - 1, first + 1].find((n) => state.links.has(n));
  if (other !== undefined) {
    throw new Refusal('link-overlaps', [
      `Pitches ${other} and ${other + 1} are one lead already; only two pitches go in one.`,
      `To link ${first} and ${first + 1} instead: /lead unlink pitch:${other} first.`,
    ]);
  }
}
