import { WET_ROCK_CAUTION } from '../../src/forecast/wet-rock/advice.ts';
import type { PressOf } from '../../src/say/press.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Form } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { MarkName } from '../../src/trip/kinds/pitch.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { holdOf } from '../../src/trip/wet-rock-hold.ts';
import { holdWords } from '../rain/words.ts';

/** A mark that may lie inside the hold, and the same post once more for whoever says that it is dry. */
export interface WetPost {
  mark: MarkName;
  pitch: number;
  /** When it was, by the post. */
  atMs: number;
  /** Who said that the rock is dry. */
  dry: string | undefined;
  press:
    | PressOf<'pitch start'>
    | PressOf<'pitch fixed'>
    | PressOf<'pitch done'>
    | PressOf<'pitch amend'>;
}

/**
 * A pitch posted inside the wet-rock hold. The bot forbids nothing, but it doesn't take it down without
 * a word: who said that the rock is dry is asked, and stands in the record.
 *
 * @returns what is recorded before the mark: who said so; nothing where no hold is
 * @throws Refusal that asks, where nobody was named
 */
export function wetDrafts(state: TripState, { mark, pitch, dry, press, atMs }: WetPost): Draft[] {
  if (!isHeld(state, mark, pitch, atMs)) return [];
  if (dry !== undefined) return [{ kind: 'rain.dry', data: { said: dry }, atMs }];
  const isRaining = holdOf(state, atMs).state === 'raining';
  throw new Refusal(
    'wet-rock',
    [
      holdWords(state, atMs),
      WET_ROCK_CAUTION,
      `Pitch ${pitch} is not recorded yet. If it was climbed: who said that the rock is dry?`,
    ],
    [saidDry(press), ...(isRaining ? [RAIN_ENDED] : [])],
  );
}

/** After rain the hold is for every pitch; in the rain, whoever is on one may well finish it. */
export function isHeld(state: TripState, mark: MarkName, number: number, atMs: number): boolean {
  const hold = holdOf(state, atMs);
  if (state.settings.wetHours === 0 || hold.state === 'none') return false;
  if (hold.state === 'holding' || mark === 'started') return true;
  const begunMs = pitchAt(state, number)?.started?.atMs ?? pitchAt(state, number - 1)?.done?.atMs;
  return begunMs !== undefined && begunMs > hold.sinceMs;
}

/** The same post once more, with who said so. */
function saidDry(press: WetPost['press']): Button {
  const ask: Form<'dry'> = {
    title: 'The rock is dry',
    fields: [
      {
        name: 'dry',
        label: 'Who said that the rock is dry?',
        placeholder: 'the warden by phone, 09:10',
      },
    ],
  };
  return { label: 'It was said to be dry', ask, press } as Button;
}

const RAIN_ENDED: Button = {
  label: 'The rain ended at…',
  press: { path: 'rain stop', options: {} },
  ask: {
    title: 'The rain has ended',
    fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m' }],
  },
};
