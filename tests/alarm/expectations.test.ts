/** What has to be heard, by when, and what no longer has to be. */
import { describe, expect, it } from 'vitest';
import { EARLY_MS, lastSign, nextNight, unmet, watched } from '../../src/alarm/expectations.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened, type Story } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;
const TOPOUT = DAWN_MS + 10 * HOUR;

const awaited = (story: Story) => unmet(story.state).map((e) => [e.kind, e.dueMs]);
const well = (at: number, told = at) => ({
  kind: 'watch.ok',
  data: { how: 'radio' },
  at,
  told,
});
const planned = (data: object, told = DAWN_MS) => ({ kind: 'watch.planned', data, told });

/** All eight pitches done, the last one at `atMs`. */
function toppedOut(story: Story, atMs: number): Story {
  for (let pitch = 1; pitch <= 8; pitch++) {
    story.tell({ kind: 'pitch.done', data: { pitch }, at: atMs - (8 - pitch) * 10 * MINUTE });
  }
  return story;
}

describe('silence counts', () => {
  it('from the departure until everyone is down or the trip is closed', () => {
    expect(watched(opened().state)).toBe(false);
    expect(watched(departed().state)).toBe(true);
    const down = departed().tell({ kind: 'trip.down', at: DOWN });
    expect(watched(down.state)).toBe(false);
    const closed = departed().tell({ kind: 'trip.closed', told: DOWN });
    expect(watched(closed.state)).toBe(false);
    expect(unmet(closed.state)).toEqual([]);
  });

  it('from the newest moment known to be well, not from the newest message', () => {
    const story = departed().tell(
      well(DAWN_MS + 5 * HOUR, DAWN_MS + 5 * HOUR),
      well(DAWN_MS + 3 * HOUR, DAWN_MS + 6 * HOUR),
    );
    expect(lastSign(story.state)?.atMs).toBe(DAWN_MS + 5 * HOUR);
    expect(lastSign(opened().state)).toBeUndefined();
  });
});

describe('a top-out that was promised', () => {
  const promised = () => departed().tell(planned({ topoutMs: TOPOUT }));

  it('is awaited while a pitch is left', () => {
    const story = promised();
    for (let pitch = 1; pitch <= 7; pitch++) {
      story.tell({ kind: 'pitch.done', data: { pitch }, at: DAWN_MS + pitch * HOUR });
    }
    expect(awaited(story)[0]).toEqual(['topout', TOPOUT]);
  });

  it('is no longer awaited once they are up; that they come down and the call-out time still are', () => {
    // Up two hours early: too early to answer for the time itself by being heard.
    const story = toppedOut(promised(), TOPOUT - 2 * HOUR);
    expect(awaited(story)).toEqual([
      ['down', DOWN],
      ['callout', CALLOUT],
    ]);
  });

  it('is awaited again when the last pitch turns out not to be done', () => {
    const story = toppedOut(promised(), TOPOUT - 2 * HOUR);
    story.strike(story.events.length, TOPOUT - HOUR);
    expect(awaited(story)[0]).toEqual(['topout', TOPOUT]);
  });
});

describe('an agreed time that has passed', () => {
  it.each([
    ['told at that very minute', DOWN, DOWN, false],
    ['told a moment before it', DOWN - MINUTE, DOWN - 1, true],
    ['told after it, of an hour before it', DOWN - EARLY_MS, DOWN + MINUTE, false],
    ['told after it, of more than an hour before it', DOWN - EARLY_MS - 1, DOWN + MINUTE, true],
    ['told and happened after it', DOWN + MINUTE, DOWN + MINUTE, false],
  ])('by a word %s', (_, at, told, stillAwaited) => {
    const story = departed().tell(well(at, told));
    expect(awaited(story).some(([kind]) => kind === 'down')).toBe(stillAwaited);
  });

  it('is gone when the party takes it back', () => {
    const story = departed().tell(planned({ downMs: null }));
    expect(awaited(story)).toEqual([['callout', CALLOUT]]);
  });
});

describe('a promised check-in', () => {
  const DUE = DAWN_MS + 6 * HOUR;
  const promise = (data: object = {}) =>
    departed().tell({ kind: 'watch.promised', data: { dueMs: DUE, ...data } });

  it('is awaited by the name of its promise, with what it was about', () => {
    const story = promise({ about: 'from the ledge' });
    expect(unmet(story.state)[0]).toEqual({
      key: `checkin:${story.events.at(-1)?.id}`,
      kind: 'checkin',
      dueMs: DUE,
      about: 'from the ledge',
    });
    expect(unmet(promise().state)[0]).not.toHaveProperty('about');
  });

  it('is kept by being heard of at most an hour before', () => {
    expect(awaited(promise().tell(well(DUE - EARLY_MS)))).toEqual([
      ['down', DOWN],
      ['callout', CALLOUT],
    ]);
    expect(awaited(promise().tell(well(DUE - EARLY_MS - 1)))[0]).toEqual(['checkin', DUE]);
  });

  it('comes in its place among the others, the earliest first', () => {
    const story = departed().tell(
      planned({ topoutMs: TOPOUT, downMs: TOPOUT }),
      { kind: 'watch.promised', data: { dueMs: TOPOUT + MINUTE } },
      { kind: 'watch.promised', data: { dueMs: TOPOUT - MINUTE } },
    );
    expect(unmet(story.state).map((e) => [e.kind, (e.dueMs - TOPOUT) / MINUTE])).toEqual([
      ['checkin', -1],
      // At one time, always in the same order, so that every look finds the same.
      ['down', 0],
      ['topout', 0],
      ['checkin', 1],
      ['callout', 600],
    ]);
  });
});

describe('a nightly check-in', () => {
  const evening = Date.UTC(2031, 5, 12, 19, 0); // 21:00 in Oslo
  const nightly = (told: number) => ({ kind: 'watch.nightly', data: { clock: '21:00' }, told });

  it('is owed on the first evening after it was promised', () => {
    const story = departed().tell(nightly(DAWN_MS + 2 * HOUR));
    expect(unmet(story.state)[0]).toEqual({
      key: `nightly:${story.events.length}`,
      kind: 'nightly',
      dueMs: evening,
    });
    // Promised after the hour, with nothing heard since the morning: from tomorrow on.
    const late = departed().tell(planned({ downMs: null, calloutMs: null }), nightly(evening + 1));
    expect(awaited(late)[0]).toEqual(['nightly', evening + 24 * HOUR]);
  });

  it('is kept for the evening by a word of the hour before, and then owed the next', () => {
    const owed = (at: number) =>
      awaited(departed().tell(nightly(DAWN_MS), well(at))).find(([k]) => k === 'nightly')?.[1];
    expect(owed(evening - HOUR - 1)).toBe(evening);
    expect(owed(evening - HOUR)).toBe(evening + 24 * HOUR);
  });

  it('is owed for every night by itself: one that is missed doesn’t hide the next', () => {
    const nights = unmet(departed().tell(nightly(DAWN_MS)).state).filter(
      (e) => e.kind === 'nightly',
    );
    expect(nights.map((e) => (e.dueMs - evening) / HOUR)).toEqual(
      Array.from({ length: 14 }, (_, n) => n * 24),
    );
    expect(new Set(nights.map((e) => e.key)).size).toBe(1);
  });

  it.each([
    ['in the evening, four hours before', -4 * HOUR, undefined, evening + 24 * HOUR],
    ['sooner than that', -4 * HOUR - 1, undefined, evening],
    ['and up again before the hour', -2 * HOUR, -90 * MINUTE, evening],
  ])('is kept for the evening by having settled: %s', (_, since, left, next) => {
    const story = departed().tell(nightly(DAWN_MS), {
      kind: 'bivy.settled',
      data: { pitch: 0 },
      at: evening + since,
    });
    if (left !== undefined) story.tell({ kind: 'bivy.left', at: evening + left });
    expect(awaited(story).find(([k]) => k === 'nightly')?.[1]).toBe(next);
  });

  it('ends when it is taken back', () => {
    const story = departed().tell(nightly(DAWN_MS), {
      kind: 'watch.nightly',
      data: { clock: null },
      told: DAWN_MS + HOUR,
    });
    expect(awaited(story).map(([kind]) => kind)).toEqual(['down', 'callout']);
  });

  it.each([
    ['later the same day', '2031-06-12T10:00:00Z', '21:30', '2031-06-12T19:30:00.000Z'],
    ['not at that very moment again', '2031-06-12T19:30:00Z', '21:30', '2031-06-13T19:30:00.000Z'],
    ['after midnight', '2031-06-12T22:30:00Z', '00:15', '2031-06-13T22:15:00.000Z'],
    // Clocks in Oslo go forward from 02:00 to 03:00 on 30 March 2031 (EU Directive 2000/84/EC: last
    // Sunday of March): an hour that is left out is taken as the first moment after it.
    ['in the hour that is left out', '2031-03-29T20:00:00Z', '02:30', '2031-03-30T01:00:00.000Z'],
    // They go back from 03:00 to 02:00 on 26 October: of two such times, the first.
    ['in the hour that comes twice', '2031-10-25T20:00:00Z', '02:30', '2031-10-26T00:30:00.000Z'],
  ])('the clock time is the first one to come, %s', (_, after, clock, expected) => {
    const due = nextNight('Europe/Oslo', clock, Date.parse(after));
    expect(new Date(due).toISOString()).toBe(expected);
  });
});

describe('a party heard from after its last agreed time', () => {
  const heard = CALLOUT + 10 * MINUTE;

  it('is asked again, as long after as an alert takes for this trip', () => {
    const story = departed().tell(
      { kind: 'watch.delays', data: { alertMin: 45 } },
      well(DOWN + MINUTE),
      well(heard),
    );
    expect(unmet(story.state)).toEqual([
      { key: 'again', kind: 'again', dueMs: heard + 45 * MINUTE },
      // An alert follows after 45 min more, and distress four hours after that.
      { key: 'silence', kind: 'silence', dueMs: heard + 90 * MINUTE + 4 * HOUR },
    ]);
  });

  it('is asked again also where the next thing that it owes is far away', () => {
    const promised = (inMs: number) =>
      awaited(
        departed().tell(well(heard), {
          kind: 'watch.promised',
          data: { dueMs: heard + inMs },
          told: heard,
        }),
      ).map(([kind]) => kind);
    expect(promised(5 * HOUR)).toEqual(['again', 'checkin', 'silence']);
    expect(promised(2 * HOUR)).toEqual(['checkin', 'silence']);
  });

  it('before the call-out time, is asked again before that comes', () => {
    // Down by 22:00, a word at 22:05, the call-out time at ten next morning.
    const story = departed().tell(
      planned({ calloutMs: DOWN + 12 * HOUR }),
      well(DOWN + 5 * MINUTE),
    );
    expect(awaited(story)).toEqual([
      ['again', DOWN + 5 * MINUTE + 2 * HOUR],
      ['callout', DOWN + 12 * HOUR],
    ]);
  });

  it('and lost in the dark, doesn’t wait for the next night’s check-in', () => {
    const nightly = { kind: 'watch.nightly', data: { clock: '21:00' }, told: DAWN_MS };
    const story = departed().tell(nightly, well(CALLOUT + 5 * MINUTE));
    expect(awaited(story)[0]).toEqual(['again', CALLOUT + 5 * MINUTE + 2 * HOUR]);
    expect(awaited(story).find(([kind]) => kind === 'silence')?.[1]).toBe(
      CALLOUT + 5 * MINUTE + 8 * HOUR,
    );
  });

  it('and settled for the night, is asked when the night is over', () => {
    const settled = (until?: number) =>
      awaited(
        departed().tell(planned({ calloutMs: DOWN + 15 * HOUR }), {
          kind: 'bivy.settled',
          data: { pitch: 0, ...(until === undefined ? {} : { untilMs: until }) },
          at: DOWN + 5 * MINUTE,
        }),
      )[0];
    expect(settled(DOWN + 8 * HOUR)).toEqual(['again', DOWN + 9 * HOUR]);
    expect(settled()).toEqual(['again', DOWN + 11 * HOUR + 5 * MINUTE]);
    // A call-out time in that night is asked about before it comes.
    const before = departed().tell({
      kind: 'bivy.settled',
      data: { pitch: 0, untilMs: DOWN + 8 * HOUR },
      at: DOWN + 5 * MINUTE,
    });
    expect(awaited(before)[0]).toEqual(['again', DOWN + 5 * MINUTE + 2 * HOUR]);
    // However long they mean to sleep.
    expect(settled(DOWN + 30 * HOUR)).toEqual(['again', DOWN + 11 * HOUR + 5 * MINUTE]);
  });

  it('that agreed on no time at all is asked a day after its last word', () => {
    const story = opened().tell({ kind: 'trip.departed', at: DAWN_MS }, well(heard));
    expect(awaited(story)).toEqual([
      ['again', heard + 24 * HOUR],
      ['silence', heard + 30 * HOUR],
    ]);
  });

  it('on top in time, is not asked about that', () => {
    const story = toppedOut(
      departed().tell(planned({ topoutMs: TOPOUT, downMs: null, calloutMs: null })),
      TOPOUT + MINUTE,
    );
    expect(awaited(story)[0]).toEqual(['again', TOPOUT + MINUTE + 24 * HOUR]);
  });
});
