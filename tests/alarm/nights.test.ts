/** Missed nights: each is its own alarm, and none mutes the next. */
import { describe, expect, it } from 'vitest';
import { phasesToTell } from '../../src/alarm/ladder.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story } from './trip.ts';

/** 21:00 in Oslo on the first day. */
const EVENING = Date.UTC(2031, 5, 12, 19, 0);
const ALL = ['@field', 'dana', 'pal'];

/** A week on the wall: a word every night at nine, the call-out time on the eighth day. */
const week = () =>
  departed().tell(
    { kind: 'watch.nightly', data: { clock: '21:00' }, told: DAWN_MS },
    {
      kind: 'watch.planned',
      data: { downMs: EVENING + 6.5 * 24 * HOUR, calloutMs: EVENING + 7 * 24 * HOUR },
      told: DAWN_MS,
    },
  );

/** Lets time pass, raising what is to be told, as the loop would; returns what was raised. */
function pass(story: Story, fromMs: number, toMs: number) {
  const told: { phase: string; dueMs: number; to: string[]; atMs: number }[] = [];
  for (let nowMs = fromMs; nowMs <= toMs; nowMs += 5 * MINUTE) {
    for (const { phase, root, to } of phasesToTell(story.state, nowMs)) {
      const data = { phase, root: root.key, dueMs: root.dueMs, to };
      story.tell({ kind: 'watch.raised', data, told: nowMs, by: 'tagline' });
      told.push({ ...data, atMs: nowMs });
    }
  }
  return told;
}

describe('six nights missed', () => {
  it('are six alerts, whoever took the first in hand', () => {
    const story = week();
    pass(story, EVENING - HOUR, EVENING + 3 * HOUR);
    story.tell({ kind: 'watch.acked', data: { person: 'dana' }, by: 'Dana' });
    const told = pass(story, EVENING + 3 * HOUR, EVENING + 5 * 24 * HOUR + 3 * HOUR);
    const alerts = told.filter((t) => t.phase === 'alert');
    expect(alerts.map((t) => [(t.dueMs - EVENING) / (24 * HOUR), t.to])).toEqual(
      [1, 2, 3, 4, 5].map((night) => [night, ALL]),
    );
    // At its own hour, each: two hours after it was due.
    expect(alerts.every((t) => t.atMs === t.dueMs + 2 * HOUR)).toBe(true);
  });

  it('after a long outage of the watch are one message, not six', () => {
    const story = week();
    const told = pass(story, EVENING + 100 * HOUR, EVENING + 101 * HOUR);
    expect(told.map((t) => [t.phase, t.to])).toEqual([['alert', ALL]]);
  });
});

it('all down missed on the day after a missed night is told at its own height', () => {
  const story = departed().tell(
    { kind: 'watch.nightly', data: { clock: '21:00' }, told: DAWN_MS },
    {
      kind: 'watch.planned',
      data: { downMs: EVENING + 22 * HOUR, calloutMs: EVENING + 40 * HOUR },
      told: DAWN_MS,
    },
  );
  const told = pass(story, EVENING - HOUR, EVENING + 24 * HOUR);
  expect(told.filter((t) => t.phase === 'alert').map((t) => (t.dueMs - EVENING) / HOUR)).toEqual([
    0, 22,
  ]);
});

it('what is missed within hours of an alert is the same alarm', () => {
  const story = departed().tell(
    { kind: 'watch.nightly', data: { clock: '21:00' }, told: DAWN_MS },
    { kind: 'watch.planned', data: { calloutMs: EVENING + 30 * HOUR }, told: DAWN_MS },
  );
  // Down is due at 22:00, an hour after the night's word.
  const told = pass(story, EVENING - HOUR, EVENING + 8 * HOUR);
  expect(told.map((t) => t.phase)).toEqual(['due', 'uncertainty', 'alert']);
});
