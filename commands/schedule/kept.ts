import type { Kept } from '../../src/app/forecast/latest.ts';
import { present } from '../../src/app/words/forecast.ts';
import { oddsWords, percentWords } from '../../src/app/words/odds.ts';
import { capital } from '../../src/say/capital.ts';
import type { TripState } from '../../src/trip/state.ts';

/** `Latest times keep Last boat at 3 in 4 and the others at 90 %. Front is less than even.` */
export function keptWords(state: TripState, kept: Kept): string | undefined {
  const whole = kept.labels.size - kept.below.size - kept.lost.length;
  const below = [...kept.below].map(
    ([id, chance]) => `${kept.labels.get(id) ?? id} at ${oddsWords(chance, state)}`,
  );
  const rest = below.length === 0 ? 'every cutoff' : 'the others';
  const all = [...below, ...(whole > 0 ? [`${rest} at ${percentWords(state.confidence)}`] : [])];
  const said = all.length === 0 ? undefined : `Latest times keep ${and(all)}.`;
  return present([said, lostWords(kept)]).join(' ') || undefined;
}

function lostWords({ lost, labels }: Kept): string | undefined {
  if (lost.length === 0) return undefined;
  const names = and(lost.map((id) => labels.get(id) ?? id));
  const are = lost.length === 1 ? 'is' : 'are';
  return `${capital(names)} ${are} more likely missed than met.`;
}

function and(words: readonly string[]): string {
  return [words.slice(0, -1).join(', '), words.at(-1)].filter(Boolean).join(' and ');
}
