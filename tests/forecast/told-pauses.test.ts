/** Spans in which nobody climbed, as the nights were told. */
import { expect, it } from 'vitest';
import { forecastInput } from '../../src/forecast/input.ts';
import { at, done, fixed, type Post, setUp, started, stateOf } from '../trip/build.ts';

const read = (posts: readonly Post[], nowMs: number) =>
  forecastInput(stateOf([...setUp({}), ...posts]), nowMs);
const two = [done(1, at(10)), done(2, at(18))];
const settled = (pitch: number, atMs: number): Post => ({
  kind: 'bivy.settled',
  data: { pitch, untilMs: at(29) },
  atMs,
});
const LEFT: Post = { kind: 'bivy.left', data: {}, atMs: at(29) };

it('a night begins with the way back for who fixed the line above and slept below', () => {
  const line = fixed(3, at(19));
  expect(read([...two, line, settled(2, at(20))], at(23)).settled?.sinceMs).toBe(at(19));
  const over = read([...two, line, settled(2, at(20)), LEFT], at(30));
  expect(over.pauses).toEqual([{ fromMs: at(19), toMs: at(29) }]);
});

it('a line fixed from the bed, or of a pitch that was done, moves no night', () => {
  const from = (...posts: Post[]) => read([...two, ...posts, LEFT], at(30)).pauses?.[0]?.fromMs;
  expect(from(settled(2, at(20)), fixed(3, at(21)))).toBe(at(20));
  expect(from(fixed(3, at(18, 30)), done(3, at(19)), settled(3, at(20)))).toBe(at(19));
});

it('nobody climbs between reaching the stance and lying down there, unless the next pitch is told to be begun', () => {
  const from = (...posts: Post[]) => read([...two, ...posts, LEFT], at(30)).pauses?.[0]?.fromMs;
  expect(from(settled(2, at(20)))).toBe(at(18));
  expect(from(started(3, at(19)), settled(2, at(20)))).toBe(at(20));
});
