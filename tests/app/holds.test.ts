import { describe, expect, it } from 'vitest';
import { HOLD_MS, type Holder, whileHeld } from '../../src/app/holds.ts';
import { StoreError } from '../../src/store/port.ts';
import { ManualClock } from '../helpers/clock.ts';

type Answer = boolean | Error;

/** A store that answers each asking as it is told, and from then on as at the last. */
function holder(...answers: Answer[]) {
  const clock = new ManualClock();
  const asked: string[] = [];
  const store: Holder['store'] = {
    async hold(name, owner, forMs) {
      asked.push(`hold ${name} ${owner} ${forMs}`);
      const answer = answers.length > 1 ? answers.shift() : answers[0];
      if (answer instanceof Error) throw answer;
      return answer === true;
    },
    async letGo(name, owner) {
      asked.push(`let go ${name} ${owner}`);
    },
  };
  return { clock, asked, it: { store, clock, owner: 'me' } };
}

const turns = async () => {
  for (let i = 0; i < 20; i++) await new Promise((resolve) => setImmediate(resolve));
};

/** Works until it is told to end, or until the hold is lost. */
function work(h: ReturnType<typeof holder>) {
  let end = () => {};
  const ended = new Promise<void>((resolve) => {
    end = resolve;
  });
  const done = whileHeld(h.it, 'x', async (lost) => {
    const gone = new Promise<void>((resolve) => lost.addEventListener('abort', () => resolve()));
    await Promise.race([ended, gone]);
    return lost.aborted ? 'lost' : 'done';
  });
  return { done, end };
}

async function pass(h: ReturnType<typeof holder>, ms: number): Promise<void> {
  for (let gone = 0; gone < ms; gone += 1_000) {
    await turns();
    h.clock.advance(1_000);
  }
  await turns();
}

describe('work under a name that one process holds at a time', () => {
  it('does nothing when another holds it', async () => {
    const h = holder(false);
    expect(await whileHeld(h.it, 'x', async () => 'done')).toBeUndefined();
    expect(h.asked).toEqual([`hold x me ${HOLD_MS}`]);
  });

  it('asks again in time for as long as it works, then lets go', async () => {
    const h = holder(true);
    const { done, end } = work(h);
    await pass(h, 61_000);
    end();
    expect(await done).toEqual({ value: 'done' });
    expect(h.asked.filter((a) => a.startsWith('hold'))).toHaveLength(13);
    expect(h.asked.at(-1)).toBe('let go x me');
    expect(h.clock.sleeping).toBe(0);
  });

  it('ends at once when another has it', async () => {
    const h = holder(true, false);
    const { done } = work(h);
    await pass(h, 6_000);
    expect(await done).toEqual({ value: 'lost' });
  });

  it('ends before another can have it when nobody answers', async () => {
    const h = holder(true, new StoreError('STORE_UNREACHABLE', 'gone'));
    const { done } = work(h);
    let over = false;
    void done.then(() => {
      over = true;
    });
    await pass(h, 12_000);
    expect(over).toBe(false);
    await pass(h, HOLD_MS - 12_000);
    expect(over).toBe(true);
    expect(await done).toEqual({ value: 'lost' });
  });

  it('goes on while the disk is full, because nobody else can write either', async () => {
    const h = holder(new StoreError('STORE_FULL', 'full'));
    const { done, end } = work(h);
    await pass(h, 120_000);
    end();
    expect(await done).toEqual({ value: 'done' });
  });

  it('lets go when the work fails', async () => {
    const h = holder(true);
    const failed = whileHeld(h.it, 'x', () => Promise.reject(new Error('no')));
    await expect(failed).rejects.toThrow('no');
    expect(h.asked.at(-1)).toBe('let go x me');
  });
});
