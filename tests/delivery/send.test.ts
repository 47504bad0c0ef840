/** Which way a notice takes next, and what comes of failing. */
import { describe, expect, it } from 'vitest';
import { type NoticeData, newNotice, type What } from '../../src/alarm/notice.ts';
import type { Sent } from '../../src/delivery/ports.ts';
import { sendNotice } from '../../src/delivery/send.ts';
import { laneOf } from '../../src/delivery/turn.ts';
import type { Loaded } from '../../src/record/records.ts';
import type { NoticeRow } from '../../src/store/port.ts';
import { DAWN_MS, departed, HOUR } from '../alarm/trip.ts';
import { unit } from './parts.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const NOW = DOWN + 2 * HOUR;
const LATER: Sent = { ok: false, retry: 'later', why: 'http-503' };
const NEVER: Sent = { ok: false, retry: 'never', why: 'blocked' };

const alarmed = () =>
  departed().tell({
    kind: 'watch.raised',
    data: { phase: 'alert', root: 'down', dueMs: DOWN, to: ['@field', 'dana'] },
    told: NOW,
  });

/** Tries one notice `times` times, with what is answered by way and turn. */
async function tries(
  times: number,
  answer: (way: string, turn: number) => Sent,
  about?: What,
  patch: object = {},
) {
  const story = alarmed().tell({ kind: 'roster.edited', data: { id: 'dana', patch } });
  const raised = story.state.watch.raised[0]?.seq ?? 0;
  const notice = newNotice(story.trip, 'dana', about ?? { kind: 'phase', raised }, NOW);
  let row: NoticeRow = {
    ...notice,
    nonce: 'n',
    status: 'pending',
    attempts: 0,
    nextTryAtMs: NOW,
  };
  const tried: string[] = [];
  const take = (way: string) => async () => answer(way, tried.push(way));
  const { parts } = unit(story, NOW, { dm: take('dm'), email: take('email') });
  const outcomes = [];
  for (let i = 0; i < times; i++) {
    const outcome = await sendNotice({ parts, nowMs: NOW }, row);
    outcomes.push(outcome);
    if (outcome.status !== 'pending') break;
    row = { ...row, data: outcome.data as NoticeData, nextTryAtMs: outcome.nextTryAtMs };
  }
  return { tried, outcomes, last: outcomes.at(-1), story };
}

describe('a way that fails for now', () => {
  it('has two tries, then the other way has two, and so on by turns', async () => {
    const { tried } = await tries(9, () => LATER);
    expect(tried).toEqual(['dm', 'dm', 'email', 'email', 'dm', 'dm', 'email', 'email', 'dm']);
  });

  it('begins with the way the person chose', async () => {
    const { tried } = await tries(3, () => LATER, undefined, { ways: ['email', 'dm'] });
    expect(tried).toEqual(['email', 'email', 'dm']);
  });

  it('goes on by itself where there is no other', async () => {
    const { tried, last } = await tries(5, () => LATER, undefined, { ways: ['email'] });
    expect(tried).toEqual(['email', 'email', 'email', 'email', 'email']);
    expect(last?.status).toBe('pending');
  });

  it('of an alarm is said aloud after the fourth failure, once, and goes on being tried', async () => {
    const unreached = async (times: number) =>
      (await tries(times, () => LATER)).story.state.watch.unreached.map((u) => u.person);
    expect(await unreached(3)).toEqual([]);
    expect(await unreached(4)).toEqual(['dana']);
    expect(await unreached(8)).toEqual(['dana']);
  });

  it('of anything else is tried on without a word', async () => {
    const plan = { kind: 'plan', seq: 1, departed: true } as const;
    const { story, last } = await tries(6, () => LATER, plan);
    expect(story.state.watch.unreached).toEqual([]);
    expect(last?.status).toBe('pending');
  });
});

describe('a way that can’t work', () => {
  it('is left for the next one at once, and not tried again', async () => {
    const { tried, outcomes } = await tries(4, (way) => (way === 'dm' ? NEVER : LATER));
    expect(tried).toEqual(['dm', 'email', 'email', 'email']);
    expect(outcomes[0]).toMatchObject({ status: 'pending', nextTryAtMs: NOW });
  });

  it('as the last one: the notice has failed, and the next contact is told instead', async () => {
    const { tried, last, story } = await tries(4, () => NEVER);
    expect(tried).toEqual(['dm', 'email']);
    expect(last).toMatchObject({ status: 'failed', error: 'blocked' });
    expect(story.state.watch.unreached).toMatchObject([{ person: 'dana', next: 'pal' }]);
  });
});

describe('a way that works', () => {
  it('ends it, with where it went', async () => {
    const { tried, last } = await tries(4, (_, turn) =>
      turn < 3 ? LATER : { ok: true, receipt: 'mail-7' },
    );
    expect(tried).toEqual(['dm', 'dm', 'email']);
    expect(last).toEqual({ status: 'sent', receipt: 'email:mail-7' });
  });
});

describe('where a push message goes', () => {
  it('is to the host of each browser, and each host once', () => {
    const { state, trip } = departed();
    const endpoints = ['https://a.example/1', 'https://b.example/2', 'https://a.example/3'];
    state.watch.devices = endpoints.map((endpoint, n) => ({
      person: 'dana',
      to: `d${n}`,
      endpoint,
      p256dh: 'x',
      auth: 'x',
    }));
    const row = { id: trip, channel: 'wall' } as Loaded['row'];
    const lane = laneOf({ state, row } as Loaded, 'dana', 'push');
    expect(lane.servers).toEqual(['a.example', 'b.example']);
  });
});

describe('a gateway that asks to be left alone', () => {
  it('does not put distress off by its quarter of an hour', async () => {
    const story = departed().tell({
      kind: 'watch.raised',
      data: { phase: 'distress', root: 'down', dueMs: DOWN, to: ['@field', 'dana'] },
      told: NOW,
    });
    const raised = story.state.watch.raised[0]?.seq ?? 0;
    const notice = newNotice(story.trip, 'dana', { kind: 'phase', raised }, NOW);
    const row: NoticeRow = {
      ...notice,
      nonce: 'n',
      status: 'pending',
      attempts: 0,
      nextTryAtMs: NOW,
    };
    const busy: Sent = { ok: false, retry: 'later', why: 'http-429', afterMs: 900_000 };
    const { parts } = unit(story, NOW, { dm: async () => busy, email: async () => busy });
    const outcome = await sendNotice({ parts, nowMs: NOW }, { ...row, urgency: 0 });
    expect(outcome.status).toBe('pending');
    const nextMs = outcome.status === 'pending' ? outcome.nextTryAtMs : Infinity;
    expect(nextMs - NOW).toBeLessThanOrEqual(75_000);
  });
});
