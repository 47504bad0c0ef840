/** Who is reminded of an alarm, when, and what ends the reminding. */
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { acked, REPEATS_MAX, repeatAtMs, repeating, unacked } from '../../src/alarm/repeats.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const ALL = ['@field', 'dana', 'pal'];

const raised = (phase: string, to: string[] = ALL) => ({
  kind: 'watch.raised',
  data: { phase, root: 'down', dueMs: DOWN, to },
  told: DOWN,
});
const ack = (person: string) => ({ kind: 'watch.acked', data: { person } });
const newest = (story: Story) => story.state.watch.raised.at(-1)!;
const minutes = (phase: string, count: number) => {
  const one = newest(departed().tell(raised(phase)));
  return Array.from({ length: count }, (_, i) => {
    const atMs = repeatAtMs(one, i + 1);
    return atMs === undefined ? undefined : (atMs - DOWN) / MINUTE;
  });
};

describe('a reminder comes', () => {
  it('ever more seldom, twelve times, and sooner at distress', () => {
    expect(minutes('alert', 13)).toEqual([
      ...[15, 45, 105, 165, 225, 285, 345, 405, 465, 525, 585, 645],
      undefined,
    ]);
    expect(minutes('distress', 13)).toEqual([
      ...[10, 25, 55, 115, 175, 235, 295, 355, 415, 475, 535, 595],
      undefined,
    ]);
    expect(REPEATS_MAX).toBe(12);
  });

  it('of alert and distress only: due and uncertainty are told once', () => {
    expect(minutes('due', 1)).toEqual([undefined]);
    expect(minutes('uncertainty', 1)).toEqual([undefined]);
    expect(repeating(departed().tell(raised('uncertainty')).state)).toEqual([]);
  });
});

describe('an alarm is in hand', () => {
  it('for the one who said so after hearing of it, and for nobody else', () => {
    const story = departed().tell(raised('alert')).tell(ack('dana'));
    const one = newest(story);
    expect(ALL.map((group) => acked(story.state, group, one))).toEqual([false, true, false]);
    expect(unacked(story.state, one)).toEqual(['@field', 'pal']);
    expect(repeating(story.state)).toEqual([{ raised: one, to: ['@field', 'pal'] }]);
  });

  it('not by an answer to an earlier alarm', () => {
    const story = departed().tell(raised('uncertainty'), ack('dana'), raised('alert'));
    expect(acked(story.state, 'dana', newest(story))).toBe(false);
    expect(unacked(story.state, newest(story))).toEqual(ALL);
  });

  it('for everybody once the call-out was made, unless that was before', () => {
    const called = { kind: 'watch.called', data: {} };
    const after = departed().tell(raised('alert'), called);
    expect(ALL.every((group) => acked(after.state, group, newest(after)))).toBe(true);
    expect(repeating(after.state)).toEqual([]);
    const before = departed().tell(raised('uncertainty'), called, raised('alert'));
    expect(unacked(before.state, newest(before))).toEqual(ALL);
  });

  it('and nobody is reminded of it any more when all have said so', () => {
    const story = departed().tell(raised('alert'), ...ALL.map(ack));
    expect(repeating(story.state)).toEqual([]);
  });
});

describe('who has been told of a higher phase since', () => {
  it('is reminded of that one only', () => {
    const story = departed().tell(raised('alert'), raised('distress', ['dana']));
    const [alert, distress] = story.state.watch.raised;
    expect(unacked(story.state, alert!)).toEqual(['@field', 'pal']);
    expect(unacked(story.state, distress!)).toEqual(['dana']);
    expect(repeating(story.state).map((r) => [r.raised.phase, r.to])).toEqual([
      ['alert', ['@field', 'pal']],
      ['distress', ['dana']],
    ]);
  });
});

describe('deadlines', () => {
  const nowMs = DOWN + MINUTE;
  const keys = (story: Story, atMs = nowMs) =>
    deadlinesOf(story.state, atMs).filter((d) => !d.key.startsWith('ask:'));
  const shown = (story: Story, atMs = nowMs) =>
    keys(story, atMs).map((d) => [d.key, (d.dueAtMs - DOWN) / MINUTE]);

  it('one for every step that is still to come, shared by those who wait as long', () => {
    expect(shown(departed(), DAWN_MS)).toEqual([
      ['due:down:0:0', 0],
      ['uncertainty:down:30:0', 30],
      ['alert:down:120:0', 120],
      ['distress:callout:0:0', 240],
    ]);
  });

  it('one each where a contact waits longer', () => {
    const own = departed().tell({
      kind: 'watch.delays',
      data: { person: 'dana', uncertaintyMin: 50 },
    });
    expect(shown(own, DAWN_MS).map(([key]) => key)).toContain('uncertainty:down:50:0');
    expect(shown(own, DAWN_MS).map(([key]) => key)).toContain('uncertainty:down:30:0');
  });

  it('none for a step whose time is now or past: it is looked at now, under the newest entry', () => {
    const story = departed();
    expect(shown(story, DOWN)).toEqual([
      ['uncertainty:down:30:0', 30],
      ['alert:down:120:0', 120],
      ['distress:callout:0:0', 240],
      [`look:${story.events.length}`, 0],
    ]);
  });

  it('ring once more when what stood above is gone, so their keys name it', () => {
    const story = departed().tell(raised('uncertainty', ['@field', 'dana']));
    const above = story.state.seq;
    expect(shown(story)).toEqual([
      [`uncertainty:down:30:${above}`, 30],
      [`alert:down:120:${above}`, 120],
      [`distress:callout:0:${above}`, 240],
    ]);
  });

  it('every reminder of an alarm that nobody has in hand, and none once all have', () => {
    const story = departed().tell(raised('alert'));
    const seq = story.state.seq;
    const repeats = keys(story).filter((d) => d.key.startsWith('repeat:'));
    expect(repeats.map((d) => d.key)).toEqual(
      Array.from({ length: 12 }, (_, i) => `repeat:${seq}:${i + 1}`),
    );
    expect(repeats.slice(0, 3).map((d) => (d.dueAtMs - DOWN) / MINUTE)).toEqual([15, 45, 105]);
    story.tell(...ALL.map(ack));
    expect(keys(story).filter((d) => d.key.startsWith('repeat:'))).toEqual([]);
  });

  it('carry nothing: what is to be told is read from the record when they ring', () => {
    const story = departed().tell(raised('alert'));
    expect(deadlinesOf(story.state, nowMs).every((d) => d.data === null)).toBe(true);
  });
});
