import { overButton, troubleLines } from '../alarm/words/trouble.ts';
import { ENGLISH, type Words } from '../say/contact/words.ts';
import { Refusal } from '../say/refusal.ts';
import type { Button, Line } from '../say/reply.ts';
import { openTroubles } from '../trip/conditions.ts';
import type { TripState } from '../trip/state.ts';
import { speaksOfTrouble } from './speaks-of-trouble.ts';

/** Tells of trouble with a form, because words may be longer than a button can carry. */
export const REPORT: Button = {
  label: 'Report trouble',
  tone: 'danger',
  press: { path: 'trouble report', options: {} },
  ask: {
    title: 'Report trouble',
    fields: [
      { name: 'what', label: 'What has happened?', placeholder: 'Ines fell, leg hurt' },
      { name: 'where', label: 'Where are they?', placeholder: 'stance after pitch 6' },
    ],
  },
};

/**
 * Words that may mean trouble are asked back before they count as a sign of life.
 *
 * @param sure the asker has said that they mean well
 * @throws Refusal with both ways on
 */
export function mustMeanWell(words: string | undefined, sure: boolean, well: Button): void {
  const word = sure ? undefined : speaksOfTrouble(words);
  if (word === undefined) return;
  throw new Refusal(
    'sounds-like-trouble',
    [
      `“${word}”: is somebody hurt, or is help wanted? Nothing is noted yet.`,
      'If so, report it, and everybody is told at once. If all are well, say so once more.',
    ],
    [REPORT, well],
  );
}

/** What stands of trouble, and that no sign of life ends it; empty when none is open. */
export function troubleStands(
  state: TripState,
  nowMs: number,
  w: Words = ENGLISH,
): { lines: Line[]; buttons: Button[] } {
  const open = openTroubles(state);
  if (open.length === 0) return { lines: [], buttons: [] };
  return {
    lines: [
      w.say('done.troubleStands'),
      ...open.flatMap((trouble) => troubleLines(state, trouble, nowMs, w)),
    ],
    buttons: open.slice(-1).map((trouble) => overButton(trouble, w)),
  };
}
