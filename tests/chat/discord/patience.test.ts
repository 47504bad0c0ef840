import { setImmediate } from 'node:timers/promises';
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
  await setImmediate();
  expect([told, off]).toEqual([[800, 800, 800, 800], []]);
  all.push(ask(5));
  await setImmediate();
  expect(told).toEqual([800, 800, 800, 800, 0]);
  expect(off).toEqual([1, 2, 3, 4, 5]);
  for (const end of ends) end();
  await Promise.all(all);
  const alone = ask(6);
  await setImmediate();
  expect([told.at(-1), off.includes(6)]).toEqual([800, false]);
  ends.at(-1)?.();
  await alone;
});

it('nobody is waited for of many who come at the same moment', async () => {
  const patience = new Patience(800);
  const told: number[] = [];
  const ask = () =>
    patience.while(({ ms }) => {
      told.push(ms);
      return never();
    });
  for (let i = 0; i < 5; i++) void ask();
  await setImmediate();
  expect(told).toEqual([0, 0, 0, 0, 0]);
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
  await setImmediate();
  await setImmediate();
  expect(begun).toBe(false);
  clock.advance(250);
  await clock.sleep(0);
  await Promise.resolve();
  expect(begun).toBe(true);
});

it('nothing is begun while it is still being announced that others have come in', async () => {
  const patience = new Patience(800);
  const clock = new ManualClock();
  const begun: number[] = [];
  const out: (() => void)[] = [];
  for (const nth of [0, 1, 2, 3, 4]) {
    const interaction = { deferReply: () => new Promise<void>((done) => out.push(done)) };
    const job = {
      reply: () => {
        begun.push(nth);
        return never();
      },
      private: false,
    };
    void answer(interaction as never, job as never, { clock, patience } as never);
  }
  await setImmediate();
  await setImmediate();
  for (const done of out.slice(0, 4)) done();
  await setImmediate();
  expect([out.length, begun]).toEqual([5, []]);
  out[4]?.();
  await setImmediate();
  expect(begun).toEqual([0, 1, 2, 3, 4]);
});
