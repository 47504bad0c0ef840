/** Who is reminded of an alarm, when, and what ends the reminding. */
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import {
  acked,
  lapses,
  REPEATS_MAX,
  repeating,
  repeatsOf,
  unacked,
} from '../../src/alarm/repeats.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story, type Told } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;
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
  const found = [...repeatsOf(one)];
  return Array.from({ length: count }, (_, i) => {
    const { n, atMs } = found[i] ?? {};
    return n === i + 1 && atMs !== undefined ? (atMs - DOWN) / MINUTE : undefined;
  });
};

describe('a reminder comes', () => {
  it('ever more seldom, sooner at distress, and for more than a week', () => {
    expect(minutes('alert', 9)).toEqual([15, 45, 105, 165, 225, 285, 405, 525, 645]);
    expect(minutes('distress', 13)).toEqual([
      10, 25, 55, 115, 175, 235, 295, 355, 415, 475, 535, 655, 775,
    ]);
    const last = minutes('distress', REPEATS_MAX + 1);
    expect(last.at(-2)).toBeGreaterThan(9 * 24 * 60);
    expect(last.at(-1)).toBeUndefined();
  });

  it('of alert and distress only: due and uncertainty are told once', () => {
    expect(minutes('due', 1)).toEqual([undefined]);
    expect(minutes('uncertainty', 1)).toEqual([undefined]);
    expect(repeating(departed().tell(raised('uncertainty')).state)).toEqual([]);
  });
});

describe('an alarm is in hand', () => {
  const inHand = (story: Story, group: string, nowMs = DOWN) =>
    acked(story.state, group, newest(story), nowMs);

  it('no longer when whoever had it is no contact any more, by their no or off the roster', () => {
    const inHandAfter = (told: Told) =>
      inHand(departed().tell(raised('alert')).tell(ack('pal')).tell(told), 'pal');
    const answered = (answer: string) =>
      inHandAfter({
        kind: 'contact.answered',
        data: { person: 'pal', way: 'email', to: 'pal@example.org', answer },
      });
    expect([answered('yes'), answered('no')]).toEqual([true, false]);
    // A no by one of two ways is no leaving: the other was agreed to, or its answer may come yet.
    const byDm = { person: 'pal', way: 'dm', to: 'u-pal' };
    const no = { person: 'pal', way: 'email', to: 'pal@example.org', answer: 'no' };
    const both = (kind: string, more: object) =>
      departed().tell(
        { kind: 'roster.edited', data: { id: 'pal', patch: { userId: 'u-pal' } } },
        raised('alert'),
        ack('pal'),
        { kind: 'contact.answered', data: no },
        { kind, data: { ...byDm, ...more } },
      );
    expect(inHand(both('contact.answered', { answer: 'yes' }), 'pal')).toBe(true);
    expect(inHand(both('contact.asked', {}), 'pal')).toBe(true);
    expect(inHand(both('contact.answered', { answer: 'no' }), 'pal')).toBe(false);
    expect(inHandAfter({ kind: 'roster.removed', data: { id: 'pal' } })).toBe(false);
  });

  it('for the one who said so after hearing of it, and for nobody else', () => {
    const story = departed().tell(raised('alert')).tell(ack('dana'));
    const one = newest(story);
    expect(ALL.map((group) => inHand(story, group))).toEqual([false, true, false]);
    expect(unacked(story.state, one, DOWN)).toEqual(['@field', 'pal']);
  });

  it('for three quarters of an hour, or as long as is set; then they are reminded like the others', () => {
    const story = departed().tell(raised('alert')).tell(ack('dana'));
    expect(inHand(story, 'dana', DOWN + 45 * MINUTE - 1)).toBe(true);
    expect(inHand(story, 'dana', DOWN + 45 * MINUTE)).toBe(false);
    expect(unacked(story.state, newest(story), DOWN + 45 * MINUTE)).toEqual(ALL);
    story.tell({ kind: 'watch.delays', data: { handMin: 90 } });
    expect(inHand(story, 'dana', DOWN + 90 * MINUTE - 1)).toBe(true);
    story.tell({ kind: 'watch.delays', data: { person: 'dana', handMin: 10 } });
    expect(inHand(story, 'dana', DOWN + 10 * MINUTE)).toBe(false);
  });

  it('and is looked at when it lapses', () => {
    const story = departed().tell(raised('distress')).tell(ack('dana'), ack('pal'));
    const one = newest(story);
    expect(lapses(story.state)).toEqual([
      { ack: one.seq + 1, raised: one, atMs: DOWN + 45 * MINUTE },
      { ack: one.seq + 2, raised: one, atMs: DOWN + 45 * MINUTE },
    ]);
    // Said again: counted from then.
    story.tell({ ...ack('dana'), told: DOWN + 30 * MINUTE });
    expect(lapses(story.state)[0]).toMatchObject({ atMs: DOWN + 75 * MINUTE });
  });

  it('not by an answer to an earlier alarm', () => {
    const story = departed().tell(raised('uncertainty'), ack('dana'), raised('alert'));
    expect(inHand(story, 'dana')).toBe(false);
    expect(unacked(story.state, newest(story), DOWN)).toEqual(ALL);
  });

  it('for everybody once the call-out was made, unless that was before', () => {
    const called = { kind: 'watch.called', data: {} };
    const after = departed().tell(raised('alert'), called);
    expect(ALL.every((group) => inHand(after, group, DOWN + 48 * HOUR))).toBe(true);
    expect(repeating(after.state)).toEqual([]);
    const before = departed().tell(raised('uncertainty'), called, raised('alert'));
    expect(unacked(before.state, newest(before), DOWN)).toEqual(ALL);
  });

  it('and it is still looked after when all have said so', () => {
    const story = departed().tell(raised('alert'), ...ALL.map(ack));
    expect(unacked(story.state, newest(story), DOWN)).toEqual([]);
    expect(repeating(story.state)).toEqual([newest(story)]);
  });
});

describe('who has been told of a higher phase since', () => {
  it('is reminded of that one only', () => {
    const story = departed().tell(raised('alert'), raised('distress', ['dana']));
    const [alert, distress] = story.state.watch.raised;
    expect(unacked(story.state, alert!, DOWN)).toEqual(['@field', 'pal']);
    expect(unacked(story.state, distress!, DOWN)).toEqual(['dana']);
    expect(repeating(story.state)).toEqual([alert, distress]);
  });
});

describe('deadlines', () => {
  it('one for every taking in hand, at its lapse', () => {
    const story = departed().tell(raised('alert'), ack('dana'));
    const at = deadlinesOf(story.state, nowMs).find((d) => d.key.startsWith('lapse:'));
    const { seq } = newest(story);
    expect(at).toEqual({
      key: `lapse:${seq}:${seq + 1}`,
      dueAtMs: DOWN + 45 * MINUTE,
      data: null,
    });
  });

  const nowMs = DOWN + MINUTE;
  const keys = (story: Story, atMs = nowMs) =>
    deadlinesOf(story.state, atMs).filter((d) => !/^(ask|ahead):/.test(d.key));
  const shown = (story: Story, atMs = nowMs) =>
    keys(story, atMs).map((d) => [d.key, (d.dueAtMs - DOWN) / MINUTE]);

  it('one for every step that is still to come, shared by those who wait as long', () => {
    expect(shown(departed(), DAWN_MS)).toEqual([
      [`due:down:${DOWN}:0:0`, 0],
      [`uncertainty:down:${DOWN}:30:0`, 30],
      [`alert:down:${DOWN}:120:0`, 120],
      [`distress:callout:${CALLOUT}:0:0`, 240],
    ]);
  });

  it('one each where a contact waits longer', () => {
    const own = departed().tell({
      kind: 'watch.delays',
      data: { person: 'dana', uncertaintyMin: 50 },
    });
    expect(shown(own, DAWN_MS).map(([key]) => key)).toContain(`uncertainty:down:${DOWN}:50:0`);
    expect(shown(own, DAWN_MS).map(([key]) => key)).toContain(`uncertainty:down:${DOWN}:30:0`);
  });

  it('none for a step whose time is now or past: it is looked at now, under the newest entry', () => {
    const story = departed();
    expect(shown(story, DOWN)).toEqual([
      [`uncertainty:down:${DOWN}:30:0`, 30],
      [`alert:down:${DOWN}:120:0`, 120],
      [`distress:callout:${CALLOUT}:0:0`, 240],
      [`look:${story.events.length}`, 0],
    ]);
  });

  it('ring once more when what stood above is gone, so their keys name it', () => {
    const story = departed().tell(raised('uncertainty', ['@field', 'dana']));
    const above = story.state.seq;
    expect(shown(story)).toEqual([
      [`uncertainty:down:${DOWN}:30:${above}`, 30],
      [`alert:down:${DOWN}:120:${above}`, 120],
      [`distress:callout:${CALLOUT}:0:${above}`, 240],
    ]);
  });

  it('the next reminder of an alarm and the last before it, and none once the rescue service is called', () => {
    const story = departed().tell(raised('alert'));
    const seq = story.state.seq;
    const repeats = (min: number) =>
      deadlinesOf(story.state, DOWN + min * MINUTE)
        .filter((d) => d.key.startsWith('repeat:'))
        .map(({ key, dueAtMs }) => [key, (dueAtMs - DOWN) / MINUTE]);
    expect(repeats(14)).toEqual([[`repeat:${seq}:1`, 15]]);
    expect(repeats(15)).toEqual([
      [`repeat:${seq}:1`, 15],
      [`repeat:${seq}:2`, 45],
    ]);
    expect(repeats(104)).toEqual([
      [`repeat:${seq}:2`, 45],
      [`repeat:${seq}:3`, 105],
    ]);
    // After the last one nothing follows.
    expect(repeats(20 * 24 * 60).map(([key]) => key)).toEqual([`repeat:${seq}:${REPEATS_MAX}`]);
    story.tell({ kind: 'watch.called', data: {} });
    expect(repeats(15)).toEqual([]);
  });

  it('carry nothing: what is to be told is read from the record when they ring', () => {
    const story = departed().tell(raised('alert'));
    expect(deadlinesOf(story.state, nowMs).every((d) => d.data === null)).toBe(true);
  });
});
