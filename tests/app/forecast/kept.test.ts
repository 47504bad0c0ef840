import { expect, test } from 'vitest';
import { KeptForecasts } from '../../../src/app/forecast/kept.ts';
import type { QuickForecast } from '../../../src/forecast/forecast.ts';
import { forecastInput } from '../../../src/forecast/input.ts';
import { at, setUp, stateOf } from '../../trip/build.ts';

const input = (climbers: string[]) => forecastInput(stateOf(setUp({ climbers })), at(7));
const answer = () => ({}) as QuickForecast;

test('the same input is computed once, whoever asks; another one, or another question, anew', async () => {
  const kept = new KeptForecasts();
  const made: string[] = [];
  const ask = (asked: 'whole' | 'quick', name: string, climbers: string[]) =>
    kept.of(asked, input(climbers), async () => {
      made.push(name);
      return answer() as never;
    });
  await Promise.all([
    ask('quick', 'two', ['mara', 'jonas']),
    ask('quick', 'again', ['mara', 'jonas']),
  ]);
  await ask('quick', 'alone', ['mara']);
  await ask('whole', 'all of it', ['mara', 'jonas']);
  expect(made).toEqual(['two', 'alone', 'all of it']);
});

test('what was asked for longest ago is forgotten', async () => {
  const kept = new KeptForecasts(2);
  const made: string[] = [];
  const ask = (name: string) =>
    kept.of('quick', input([name]), async () => {
      made.push(name);
      return answer();
    });
  for (const name of ['mara', 'jonas', 'mara', 'ines', 'mara', 'jonas']) await ask(name);
  expect(made).toEqual(['mara', 'jonas', 'ines', 'jonas']);
});

test('a failed one is made anew', async () => {
  const kept = new KeptForecasts();
  const failing = kept.of('quick', input(['mara']), () => Promise.reject(new Error('no')));
  await expect(failing).rejects.toThrow('no');
  await expect(kept.of('quick', input(['mara']), async () => answer())).resolves.toEqual({});
});
