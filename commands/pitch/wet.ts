import { WET_ROCK_CAUTION } from '../../src/forecast/wet-rock/advice.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Form } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { MarkName } from '../../src/trip/kinds/pitch.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import { type Hold, holdOf } from '../../src/trip/wet-rock-hold.ts';
import { holdWords } from '../rain/words.ts';
import type { MarkArgs } from './mark.ts';

/**
 * A pitch posted inside the wet-rock hold. The bot forbids nothing, but it doesn't take it down without
 * a word: who said that the rock is dry is asked, and stands in the record.
 *
 * @param pitch the pitch that the post is about
 * @param atMs when it was climbed, by the post
 * @returns what is recorded before the mark: who said so; nothing where no hold is
 * @throws Refusal that asks, where nobody was named
 */
export function wetDrafts(
  state: TripState,
  { mark, pitch, args, atMs }: { mark: MarkName; pitch: number; args: MarkArgs; atMs: number },
): Draft[] {
  const hold = holdOf(state, atMs);
  if (!isHeld(state, hold, mark, pitch)) return [];
  if (args.dry !== undefined) return [{ kind: 'rain.dry', data: { said: args.dry }, atMs }];
  throw new Refusal(
    'wet-rock',
    [
      holdWords(state, atMs),
      WET_ROCK_CAUTION,
      `Pitch ${pitch} is not recorded yet. If it was climbed: who said that the rock is dry?`,
    ],
    [saidDry(mark, pitch, args, atMs), ...(hold.state === 'raining' ? [RAIN_ENDED] : [])],
  );
}

/** After rain the hold is for every pitch; in the rain, whoever is on one may well finish it. */
function isHeld(state: TripState, hold: Hold, mark: MarkName, number: number): boolean {
  if (state.settings.wetHours === 0 || hold.state === 'none') return false;
  if (hold.state === 'holding' || mark === 'started') return true;
  const begunMs = pitchAt(state, number)?.started?.atMs ?? pitchAt(state, number - 1)?.done?.atMs;
  return begunMs !== undefined && begunMs > hold.sinceMs;
}

/** The same post once more, with who said so. */
function saidDry(mark: MarkName, number: number, { leader, from }: MarkArgs, atMs: number): Button {
  const options = {
    number,
    at: new Date(atMs).toISOString(),
    ...(leader === undefined ? {} : { leader }),
    ...(from === undefined ? {} : { from }),
  };
  const label = 'It was said to be dry';
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
  switch (mark) {
    case 'started':
      return { label, ask, press: { path: 'pitch start', options } };
    case 'fixed':
      return { label, ask, press: { path: 'pitch fixed', options } };
    case 'done':
      return { label, ask, press: { path: 'pitch done', options } };
  }
}

const RAIN_ENDED: Button = {
  label: 'The rain ended at…',
  press: { path: 'rain stop', options: {} },
  ask: {
    title: 'The rain has ended',
    fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m' }],
  },
};
