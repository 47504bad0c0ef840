/** Distress goes by all ways at once: when none of them gets through, that is said as when there is one. */
import { describe, expect, it } from 'vitest';
import { newNotice } from '../../src/alarm/notice.ts';
import type { Sent } from '../../src/delivery/ports.ts';
import { sendNotice } from '../../src/delivery/send.ts';
import type { NewNotice, NoticeRow } from '../../src/store/port.ts';
import { DAWN_MS, departed, HOUR } from '../alarm/trip.ts';
import { unit } from './parts.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const NOW = DOWN + 4 * HOUR;
const LATER: Sent = { ok: false, retry: 'later', why: 'http-503' };
const NEVER: Sent = { ok: false, retry: 'never', why: 'blocked' };
const OK: Sent = { ok: true, receipt: 'r' };

/** Rounds in which every pending notice to Dana is tried, and marked only after all were; what is answered by way and round. */
async function rounds(times: number, answer: (way: string, round: number) => Sent) {
  const story = departed().tell({
    kind: 'watch.raised',
    data: { phase: 'distress', root: 'down', dueMs: DOWN, to: ['@field', 'dana'] },
    told: NOW,
  });
  const raised = story.state.watch.raised[0]?.seq ?? 0;
  const rows = new Map<string, NoticeRow>();
  const add = (notice: NewNotice) => {
    if (rows.has(notice.key)) return;
    const status = { nonce: `n${rows.size}`, status: 'pending', attempts: 0, nextTryAtMs: NOW };
    rows.set(notice.key, { ...notice, ...status } as NoticeRow);
  };
  add(newNotice(story.trip, 'dana', { kind: 'phase', raised }, NOW, { phase: 'distress' }));
  let round = 0;
  const { parts, fired } = unit(story, NOW, {
    dm: async () => answer('dm', round),
    email: async () => answer('email', round),
  });
  parts.store.notices = async () => [...rows.values()];
  for (; round < times; round++) {
    const due = [...rows.values()].filter((row) => row.status === 'pending');
    const outcomes = [];
    for (const row of due) outcomes.push(await sendNotice({ parts, nowMs: NOW }, row));
    for (const [i, row] of due.entries()) {
      const outcome = outcomes[i];
      if (outcome === undefined || outcome.status === 'untried') continue;
      const data = 'data' in outcome && outcome.data !== undefined ? { data: outcome.data } : {};
      rows.set(row.key, { ...row, ...data, status: outcome.status });
    }
    for (const notice of fired.splice(0).flatMap((f) => f.notices ?? [])) {
      if (notice.key.includes('/by-')) add(notice);
    }
  }
  const unreached = story.state.watch.unreached.map(({ person, next }) => ({ person, next }));
  return { unreached, statuses: [...rows.values()].map(({ status }) => status) };
}

describe('distress by two ways at once', () => {
  it('that both fail for now is said aloud, and the next contact is told', async () => {
    const { unreached, statuses } = await rounds(6, () => LATER);
    expect(unreached).toEqual([{ person: 'dana', next: 'pal' }]);
    expect(statuses).toEqual(['pending', 'pending']);
  });

  it('that both fail for good in the same moment is said aloud, once', async () => {
    // The second is queued in the first round, so both are tried together from the second one.
    const { unreached, statuses } = await rounds(6, (_, round) => (round < 1 ? LATER : NEVER));
    expect(unreached).toEqual([{ person: 'dana', next: 'pal' }]);
    expect(statuses).toEqual(['failed', 'failed']);
  });

  it('of which one fails for good and the other for now is said aloud once that goes on', async () => {
    const { unreached } = await rounds(6, (way) => (way === 'dm' ? NEVER : LATER));
    expect(unreached).toEqual([{ person: 'dana', next: 'pal' }]);
  });

  it('of which one arrives is said to nobody', async () => {
    const { unreached } = await rounds(6, (way) => (way === 'dm' ? OK : LATER));
    expect(unreached).toEqual([]);
  });
});
