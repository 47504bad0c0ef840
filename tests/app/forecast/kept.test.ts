import { expect, test } from 'vitest';
import { KeptForecasts, type MakingApart } from '../../../src/app/forecast/kept.ts';
import type { QuickForecast } from '../../../src/forecast/forecast.ts';
import { forecastInput } from '../../../src/forecast/input.ts';
import { at, setUp, stateOf } from '../../trip/build.ts';

const input = (climbers: string[]) => forecastInput(stateOf(setUp({ climbers })), at(7));
const answer = () => ({}) as QuickForecast;

test('the same input is computed once, whoever asks; another one, or another question, anew', async () => {
  const kept = new KeptForecasts();
  const made: string[] = [];
  const ask = (asked: 'whole' | 'quick', name: string, climbers: string[]) =>
    kept.of<'whole' | 'quick'>({ asked, input: input(climbers) }, async () => {
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
    kept.of({ asked: 'quick', input: input([name]) }, async () => {
      made.push(name);
      return answer();
    });
  for (const name of ['mara', 'jonas', 'mara', 'ines', 'mara', 'jonas']) await ask(name);
  expect(made).toEqual(['mara', 'jonas', 'ines', 'jonas']);
});

test('a failed one is made anew', async () => {
  const kept = new KeptForecasts();
  const job = { asked: 'quick', input: input(['mara']) } as const;
  await expect(kept.of(job, () => Promise.reject(new Error('no')))).rejects.toThrow('no');
  await expect(kept.of(job, async () => answer())).resolves.toEqual({});
});

/** Makes apart by what is said of the questions so far; here it is told apart by name. */
const asked = (apart: (nth: number) => Promise<QuickForecast | undefined>) => {
  let nth = 0;
  const made: string[] = [];
  const kept = new KeptForecasts(9, {
    make: (async () => {
      made.push(`apart ${++nth}`);
      return apart(nth);
    }) as MakingApart['make'],
  });
  const ask = (name: string) =>
    kept.of({ asked: 'quick', input: input([name]) }, async () => {
      made.push(`here ${name}`);
      return answer();
    });
  return { ask, made };
};

test('what can be made apart is; what can’t is made here, at its turn', async () => {
  const { ask, made } = asked(async (nth) => (nth === 2 ? undefined : answer()));
  await Promise.all(['mara', 'jonas', 'ines', 'mara'].map(ask));
  expect(made).toEqual(['apart 1', 'apart 2', 'here jonas', 'apart 3']);
});

test('one that was given up apart isn’t tried here, and the next is served', async () => {
  const { ask } = asked((nth) =>
    nth === 1 ? Promise.reject(new Error('too long')) : Promise.resolve(answer()),
  );
  const [first, second] = await Promise.allSettled([ask('mara'), ask('jonas')]);
  expect([first?.status, second?.status]).toEqual(['rejected', 'fulfilled']);
});
