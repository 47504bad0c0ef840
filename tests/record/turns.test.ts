import { expect, test } from 'vitest';
import { Turns } from '../../src/record/turns.ts';

test('work under one key runs in the order of asking, one at a time', async () => {
  const turns = new Turns();
  const seen: string[] = [];
  let open: () => void = () => {};
  const first = turns.take('a', async () => {
    seen.push('first begins');
    await new Promise<void>((resolve) => {
      open = resolve;
    });
    seen.push('first ends');
  });
  const second = turns.take('a', async () => {
    seen.push('second');
  });
  await turns.take('b', async () => {
    seen.push('other key');
  });
  expect(seen).toEqual(['first begins', 'other key']);
  open();
  await Promise.all([first, second]);
  expect(seen).toEqual(['first begins', 'other key', 'first ends', 'second']);
});

test('one that fails lets the next go on, and nothing is kept afterwards', async () => {
  const turns = new Turns();
  const failed = turns.take('a', () => Promise.reject(new Error('no')));
  const next = turns.take('a', async () => 'done');
  await expect(failed).rejects.toThrow('no');
  await expect(next).resolves.toBe('done');
  await Promise.resolve();
  expect(turns.size).toBe(0);
});
