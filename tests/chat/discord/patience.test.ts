import { expect, it } from 'vitest';
import { answer } from '../../../src/chat/discord/answer.ts';
import { Patience } from '../../../src/chat/discord/patience.ts';
import { ManualClock } from '../../helpers/clock.ts';

const never = () => new Promise<never>(() => {});

it('few are waited for; with one more than that nobody is, and few are again when some are done', async () => {
  const patience = new Patience(800);
  const told: number[] = [];
  const ends: (() => void)[] = [];
  const off: number[] = [];
  const ask = (nth: number) =>
    patience.while(({ ms, many }) => {
      told.push(ms);
      void many.then(() => off.push(nth));
      return new Promise<void>((end) => ends.push(end));
    });
  const all = [1, 2, 3, 4].map(ask);
  await Promise.resolve();
  expect([told, off]).toEqual([[800, 800, 800, 800], []]);
  all.push(ask(5));
  await Promise.resolve();
  expect(told).toEqual([800, 800, 800, 800, 0]);
  expect(off).toEqual([1, 2, 3, 4, 5]);
  for (const end of ends) end();
  await Promise.all(all);
  const alone = ask(6);
  await Promise.resolve();
  expect([told.at(-1), off.includes(6)]).toEqual([800, false]);
  ends.at(-1)?.();
  await alone;
});

it('nothing is kept of those that were waited for alone', async () => {
  const patience = new Patience(800);
  const waits = new Set<Promise<void>>();
  for (let i = 0; i < 3; i++) await patience.while(async ({ many }) => waits.add(many));
  expect(waits.size).toBe(3);
});

it('what is asked is done though the line hangs over which it is announced', async () => {
  const clock = new ManualClock();
  const patience = new Patience(800);
  for (let i = 0; i < 4; i++) void patience.while(never);
  let begun = false;
  const interaction = { deferReply: never };
  const job = {
    reply: () => {
      begun = true;
      return never();
    },
    private: false,
  };
  void answer(interaction as never, job as never, { clock, patience } as never);
  await clock.sleep(0);
  expect(begun).toBe(false);
  clock.advance(250);
  await clock.sleep(0);
  await Promise.resolve();
  expect(begun).toBe(true);
});
