/** What a rung deadline does: raises, says that it is late, reminds. */
import { describe, expect, it } from 'vitest';
import { noticeData } from '../../src/alarm/notice.ts';
import { fireTrip, type Outage } from '../../src/delivery/fire.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story } from '../alarm/trip.ts';
import { unit } from './parts.ts';

const DOWN = DAWN_MS + 16 * HOUR;

/** Fires at `nowMs`; resolves to the entries that were recorded and what was queued. */
async function fire(story: Story, nowMs: number, keys: string[] = [], outage?: Outage) {
  const { parts, fired } = unit(story, nowMs);
  const count = story.events.length;
  await fireTrip(parts, { trip: story.trip, keys, nowMs, outage });
  const raised = story.events.slice(count).map((e) => e.data as Record<string, unknown>);
  const told = fired
    .flatMap((f) => f.notices)
    .map((n) => {
      const { to, what } = noticeData.parse(n.data);
      return [to, what.kind === 'phase' ? what.repeat : what.kind];
    });
  return { raised, told };
}

describe('an alarm that comes late because nobody watched', () => {
  const said = async (nowMs: number, fromMs: number) => {
    const outage = { fromMs, toMs: nowMs };
    return (await fire(departed(), nowMs, ['due'], outage)).raised[0]?.outage;
  };

  it('says so from two minutes on, with the time that nobody watched', async () => {
    const fromMs = DOWN - 10 * MINUTE;
    expect(await said(DOWN + 2 * MINUTE, fromMs)).toBeUndefined();
    expect(await said(DOWN + 2 * MINUTE + 1, fromMs)).toEqual({
      fromMs,
      toMs: DOWN + 2 * MINUTE + 1,
    });
    expect(await said(DOWN + 5 * MINUTE, fromMs)).toEqual({ fromMs, toMs: DOWN + 5 * MINUTE });
  });

  it('in whole milliseconds, as the record has them', async () => {
    const outage = { fromMs: DOWN - 0.4, toMs: DOWN + 5 * MINUTE + 0.4 };
    const { raised } = await fire(departed(), DOWN + 5 * MINUTE, [], outage);
    expect(raised[0]?.outage).toEqual({ fromMs: DOWN, toMs: DOWN + 5 * MINUTE });
  });

  it('says nothing of an outage that began after it was due, nor when there was none', async () => {
    expect(await said(DOWN + 5 * MINUTE, DOWN + 1)).toBeUndefined();
    expect(await said(DOWN + 5 * MINUTE, DOWN)).toBeDefined();
    expect((await fire(departed(), DOWN + 5 * MINUTE)).raised[0]).toEqual({
      phase: 'due',
      root: 'down',
      dueMs: DOWN,
      to: ['@field'],
    });
  });
});

describe('a reminder', () => {
  const alarmed = () =>
    departed().tell({
      kind: 'watch.raised',
      data: { phase: 'alert', root: 'down', dueMs: DOWN, to: ['@field', 'dana', 'pal'] },
      told: DOWN + 2 * HOUR,
    });
  const first = DOWN + 2 * HOUR + 15 * MINUTE;
  const key = (story: Story, n: number) => `repeat:${story.state.seq}:${n}`;

  it('goes once to everybody who has not said that they have it in hand', async () => {
    const story = alarmed().tell({ kind: 'watch.acked', data: { person: 'dana' } });
    const seq = story.state.watch.raised[0]?.seq;
    const { told } = await fire(story, first, [`repeat:${seq}:1`]);
    expect(told).toEqual([
      ['@field', 1],
      ['pal', 1],
    ]);
  });

  it('asks whoever took it in hand, when that lapses, and nobody else then', async () => {
    const story = alarmed().tell({ kind: 'watch.acked', data: { person: 'dana' } });
    const ackSeq = story.state.seq;
    const seq = story.state.watch.raised[0]?.seq;
    const lapse = `lapse:${seq}:${ackSeq}`;
    const atMs = DOWN + 2 * HOUR + 45 * MINUTE;
    expect((await fire(story, atMs - 1, [lapse])).told).toEqual([]);
    expect((await fire(story, atMs, [lapse])).told).toEqual([['dana', undefined]]);
    // Said again in time: nothing to ask.
    story.tell({ kind: 'watch.acked', data: { person: 'dana' }, told: atMs - MINUTE });
    expect((await fire(story, atMs, [lapse])).told).toEqual([]);
  });

  it('is the newest one only, however many were missed', async () => {
    const story = alarmed();
    const outage = { fromMs: first - MINUTE, toMs: first + 3 * HOUR };
    const keys = [key(story, 2), key(story, 3), key(story, 1)];
    const noCallout = story.tell({ kind: 'watch.planned', data: { calloutMs: null } });
    const { told } = await fire(noCallout, first + 3 * HOUR, keys, outage);
    // The fourth came due 165 minutes after the alarm, though only the first three rang.
    expect(told.map(([, n]) => n)).toEqual([4, 4, 4]);
  });

  it('sets the next one with it, under a key that no entry takes', async () => {
    const story = alarmed();
    const { parts, fired } = unit(story, first);
    await fireTrip(parts, { trip: story.trip, keys: [key(story, 1)], nowMs: first });
    const { append, notices } = fired[0]!;
    expect(notices.length).toBeGreaterThan(0);
    expect(append).toMatchObject({ events: [], notices: [] });
    const next = { key: key(story, 2), dueAtMs: DOWN + 2 * HOUR + 45 * MINUTE, data: null };
    expect(append?.deadlines).toContainEqual(next);
    expect(append?.key).not.toBe(`watch/${story.trip}/${story.state.seq + 1}`);
  });

  it('is left out for whoever hears of a higher phase at that moment', async () => {
    const story = alarmed();
    const keys = [key(story, 1)];
    story.tell({ kind: 'watch.planned', data: { calloutMs: first } });
    const { told } = await fire(story, first, keys);
    expect(told).toEqual([
      ['@field', undefined],
      ['dana', undefined],
      ['pal', undefined],
    ]);
  });

  it('that is older than two minutes while somebody watched is of an alarm just brought back', async () => {
    const story = alarmed();
    expect((await fire(story, first + 2 * MINUTE, [key(story, 1)])).told).toHaveLength(3);
    expect((await fire(story, first + 2 * MINUTE + 1, [key(story, 1)])).told).toEqual([]);
    const outage = { fromMs: first, toMs: first + 20 * MINUTE };
    expect((await fire(story, first + 20 * MINUTE, [key(story, 1)], outage)).told).toHaveLength(3);
    const later = { fromMs: first + 1, toMs: first + 20 * MINUTE };
    expect((await fire(story, first + 20 * MINUTE, [key(story, 1)], later)).told).toEqual([]);
  });

  it('of an alarm that there is not, or before the first is due, is nothing', async () => {
    const story = alarmed();
    expect((await fire(story, first, ['repeat:1:1'])).told).toEqual([]);
    expect((await fire(story, first - 1, [key(story, 1)])).told).toEqual([]);
  });
});
