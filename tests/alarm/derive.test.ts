/** What a post gives reason to tell, and to whom, besides the deadlines that follow from it. */
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { deriveWatch } from '../../src/alarm/derive.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { change, DOWN, NOW, raised } from './changing.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened, type Told } from './trip.ts';

const well = (at = NOW, told = at): Told => ({
  kind: 'watch.ok',
  data: { how: 'radio' },
  at,
  told,
});
const planned = (data: object): Told => ({ kind: 'watch.planned', data, told: NOW });

describe('the end of an alarm', () => {
  const alarmed = () => departed().tell(raised('alert', ['@field', 'dana']));

  it('is told to everybody who was told of it, by whom, and of what it was about', () => {
    const story = alarmed();
    const alert = story.state.seq;
    const { notices, to, after } = change(story, { ...well(), by: 'Greta' });
    expect(to('ended')).toEqual(['@field', 'dana']);
    expect(notices[0]?.what).toEqual({
      kind: 'ended',
      seq: after.seq,
      raised: alert,
      why: 'heard',
      by: 'Greta',
    });
    expect(notices[0]?.notice).toMatchObject({ dueAtMs: NOW, trip: after.id });
  });

  it('takes back what is still on its way to them, of every phase they were told of', () => {
    const story = departed().tell(
      raised('uncertainty', ['@field', 'dana']),
      raised('alert', ['@field', 'pal']),
    );
    const [first, second] = story.state.watch.raised.map((r) => r.seq);
    const key = (raisedSeq: number | undefined, who: string) =>
      `${story.trip}/phase/${raisedSeq}/${who}`;
    expect(change(story, well()).cancelNotices.sort()).toEqual(
      [key(first, '@field'), key(second, '@field'), key(first, 'dana'), key(second, 'pal')].sort(),
    );
  });

  it.each([
    ['heard from', 'heard', [well()]],
    ['down', 'down', [{ kind: 'trip.down', at: NOW }]],
    ['closed', 'closed', [{ kind: 'trip.closed', told: NOW }]],
    ['a moved time', 'moved', [planned({ downMs: NOW + HOUR })]],
    ['a time taken back', 'moved', [planned({ downMs: null })]],
  ] as [string, string, Told[]][])('says why: %s', (_, why, told) => {
    expect(change(alarmed(), ...told).about('ended')).toMatchObject({ why });
  });

  const note: Told = { kind: 'roster.edited', data: { id: 'mara', patch: { age: 35 } }, told: NOW };

  it('says why: an old word turns out to be of later; nobody says "moved" of that', () => {
    const story = departed().tell(well(DOWN - 3 * HOUR, DOWN + HOUR), raised('alert', ['dana']));
    const target = story.events.at(-2)?.id;
    const amended = { kind: 'log.amended', data: { target, atMs: DOWN - MINUTE }, told: NOW };
    // Also when something else is told with it.
    expect(change(story, amended, note).about('ended')).toMatchObject({ why: 'heard' });
  });

  it('says why: what it stood on was struck', () => {
    const story = departed().tell(
      { kind: 'watch.promised', data: { dueMs: DOWN - HOUR } },
      raised('alert', ['dana']),
    );
    const promise = story.events.at(-2);
    const events = [...story.events];
    events[events.length - 1] = {
      ...events.at(-1)!,
      data: {
        ...raised('alert', ['dana']).data,
        root: `checkin:${promise?.id}`,
        dueMs: DOWN - HOUR,
      },
    } as Fact;
    story.events.splice(0, story.events.length, ...events);
    const struck = { kind: 'log.struck', data: { target: promise?.id }, told: NOW };
    expect(change(story, struck, note).about('ended')).toMatchObject({ why: 'struck' });
  });

  it('is not told by what changes nothing for them, nor to those who were told of nothing', () => {
    const story = alarmed();
    const old = change(story, well(DOWN - 2 * HOUR, NOW));
    expect(old.notices).toEqual([]);
    expect(old.cancelNotices).toEqual([]);
    expect(change(departed(), well()).to('ended')).toEqual([]);
  });
});

describe('an alarm that comes back', () => {
  it('is told anew to those who were told it was over, at its own height', () => {
    const story = departed().tell(raised('alert', ['@field', 'dana']), well());
    const alert = story.state.watch.raised[0]?.seq;
    const struck = { kind: 'log.struck', data: { target: story.events.at(-1)?.id }, told: NOW };
    const { notices, after, cancelNotices } = change(story, struck);
    expect(notices.map((n) => [n.to, n.what])).toEqual(
      ['@field', 'dana'].map((to) => [to, { kind: 'phase', raised: alert, reopened: true }]),
    );
    // Under a key of its own, so that an alarm that goes and comes twice is told twice.
    expect(notices[1]?.notice.key).toBe(`${after.id}/phase/${alert}/again/dana/${after.seq}`);
    expect(notices[1]?.notice.urgency).toBe(1);
    expect(cancelNotices).toEqual([]);
  });

  it('also to whoever hears of a smaller one in the meantime, which gives way to it', () => {
    const story = departed().tell(raised('alert', ['dana']), well(), {
      kind: 'watch.promised',
      data: { dueMs: NOW + 3 * HOUR },
    });
    const [word, promise] = story.events.slice(-2);
    story.tell(
      raised('uncertainty', ['dana'], { root: `checkin:${promise?.id}`, dueMs: NOW + 3 * HOUR }),
    );
    const struck = { kind: 'log.struck', data: { target: word?.id }, told: NOW };
    const { notices } = change(story, struck);
    expect(notices.map((n) => [n.to, n.what.kind])).toEqual([['dana', 'phase']]);
  });
});

describe('a call-out', () => {
  const alarmed = () => departed().tell(raised('distress', ['@field', 'dana', 'pal']));

  it('is told to everybody who was told of the alarm, but not to the caller', () => {
    const { to, about, after } = change(alarmed(), { kind: 'watch.called', by: 'Dana', told: NOW });
    expect(to('called')).toEqual(['@field', 'pal']);
    expect(about('called')).toEqual({ kind: 'called', seq: after.seq });
  });

  it('is told to all when the caller is none of them', () => {
    const { to } = change(alarmed(), { kind: 'watch.called', by: 'Stranger', told: NOW });
    expect(to('called')).toEqual(['@field', 'dana', 'pal']);
  });

  it('is told to nobody when nobody was told of an alarm', () => {
    expect(change(departed(), { kind: 'watch.called', told: NOW }).notices).toEqual([]);
  });
});

describe('a drill', () => {
  it('goes to the one it is for', () => {
    const { notices, after } = change(departed(), { kind: 'watch.drill', data: { to: 'pal' } });
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['pal', { kind: 'drill', seq: after.seq }],
    ]);
  });
});

describe('the agreed times', () => {
  const depart: Told = { kind: 'trip.departed', at: DAWN_MS };

  it('go to every contact at the departure, and to nobody before it', () => {
    expect(change(opened(), planned({ downMs: DOWN })).notices).toEqual([]);
    const { notices, after } = change(opened(), depart);
    expect(notices.map((n) => [n.to, n.what])).toEqual(
      ['dana', 'pal'].map((to) => [to, { kind: 'plan', seq: after.seq, departed: true }]),
    );
  });

  it.each([
    ['down', planned({ downMs: DOWN + HOUR })],
    ['the call-out time', planned({ calloutMs: DOWN + 6 * HOUR })],
    ['a nightly check-in', { kind: 'watch.nightly', data: { clock: '21:00' }, told: NOW }],
    ['a promise', { kind: 'watch.promised', data: { dueMs: NOW + HOUR }, told: NOW }],
  ] as [string, Told][])('go to every contact again when %s is set', (_, told) => {
    const { notices, after } = change(departed(), told);
    expect(notices.map((n) => [n.to, n.what])).toEqual(
      ['dana', 'pal'].map((to) => [to, { kind: 'plan', seq: after.seq, departed: false }]),
    );
  });

  it('go to every contact when one promise takes the place of another', () => {
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs: NOW + HOUR } });
    const target = story.events.at(-1)?.id;
    const { to } = change(
      story,
      { kind: 'log.struck', data: { target }, told: NOW },
      { kind: 'watch.promised', data: { dueMs: NOW + 2 * HOUR }, told: NOW },
    );
    expect(to('plan')).toEqual(['dana', 'pal']);
  });

  it('are not sent for what leaves them as they are', () => {
    expect(change(departed(), well()).notices).toEqual([]);
    expect(change(departed(), planned({ topoutMs: DOWN - HOUR })).notices).toEqual([]);
    expect(change(departed(), planned({ downMs: DOWN })).notices).toEqual([]);
  });

  it('go to a contact who joins while they are up there, as if they departed just now, and to no other', () => {
    const eva: Told = {
      kind: 'roster.added',
      data: { id: 'eva', fields: { name: 'Eva', roles: ['contact'], email: 'eva@example.org' } },
      told: NOW,
    };
    const { notices, after } = change(departed(), eva);
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['eva', { kind: 'plan', seq: after.seq, departed: true }],
    ]);
    // Together with a moved time: the others hear that it moved, the newcomer everything.
    const both = change(departed(), eva, planned({ downMs: DOWN + HOUR }));
    expect(both.notices.map((n) => [n.to, 'departed' in n.what && n.what.departed])).toEqual([
      ['dana', false],
      ['pal', false],
      ['eva', true],
    ]);
  });

  it('are over when everyone is down or the trip is closed', () => {
    for (const told of [
      { kind: 'trip.down', at: NOW },
      { kind: 'trip.closed', told: NOW },
    ]) {
      const { notices, after } = change(departed(), told);
      expect(notices.map((n) => [n.to, n.what])).toEqual(
        ['dana', 'pal'].map((to) => [to, { kind: 'over', seq: after.seq }]),
      );
    }
  });

  it('hold again when being down is taken back, and that is said', () => {
    const story = departed().tell({ kind: 'trip.down', at: NOW });
    const struck = { kind: 'log.struck', data: { target: story.events.at(-1)?.id }, told: NOW };
    const { about, after } = change(story, struck);
    expect(about('plan')).toEqual({ kind: 'plan', seq: after.seq, departed: true, upAgain: true });
  });

  it('of a trip that was over before and is over after: nothing', () => {
    const story = departed().tell({ kind: 'trip.down', at: NOW });
    expect(change(story, { kind: 'trip.closed', told: NOW }).notices).toEqual([]);
  });
});

describe('a trip that is put in with all its posts', () => {
  it('gets its deadlines and nothing told', () => {
    const { events, state } = departed().tell(raised('alert', ['dana']));
    const derived = deriveWatch({ before: undefined, after: state, events, nowMs: NOW });
    expect(derived.notices).toEqual([]);
    expect(derived.cancelNotices).toEqual([]);
    expect(derived.deadlines).toEqual(deadlinesOf(state, NOW));
    expect(derived.deadlines.length).toBeGreaterThan(0);
  });
});
