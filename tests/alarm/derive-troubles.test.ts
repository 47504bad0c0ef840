/** Several things stand at once, and one of them goes. */
import { describe, expect, it } from 'vitest';
import { change, DOWN, NOW, raised } from './changing.ts';
import { departed, HOUR, type Story, type Told } from './trip.ts';

const trouble = (what: string, wants: 'callout' | 'cope' = 'callout'): Told => ({
  kind: 'trouble.reported',
  data: { who: ['jonas'], condition: 'hurt', what, how: 'radio', wants },
  told: DOWN + HOUR,
});
const over = (story: Story, nth: number): Told => ({
  kind: 'trouble.over',
  data: { trouble: troubles(story)[nth]?.id, said: 'Greta saw him walk', left: 'well' },
  told: NOW,
  by: 'Greta',
});
const troubles = (story: Story) => story.events.filter((e) => e.kind === 'trouble.reported');

/** Two troubles of which both were told. */
function two(): Story {
  const story = departed().tell(trouble('a broken arm'), trouble('a cut hand'));
  for (const { seq } of troubles(story)) {
    story.tell(
      raised('distress', ['@field', 'dana'], { root: `trouble:${seq}`, dueMs: DOWN + HOUR }),
    );
  }
  return story;
}

describe('with two troubles', () => {
  it('the end of one is told to who knew of it: the alarm stands', () => {
    const story = two();
    const first = story.state.watch.raised[0]?.seq;
    const { notices, after, cancelNotices } = change(story, over(story, 0));
    const ended = notices.filter((n) => n.what.kind === 'ended');
    expect(ended.map((n) => [n.to, n.what])).toEqual(
      ['@field', 'dana'].map((to) => [
        to,
        { kind: 'ended', seq: after.seq, raised: first, why: 'over', by: 'Greta', still: true },
      ]),
    );
    expect(cancelNotices).toEqual([]);
  });

  it('the end of the last one ends it', () => {
    const story = two();
    story.tell(over(story, 0));
    const { to, about } = change(story, over(story, 1));
    expect(to('ended')).toEqual(['@field', 'dana']);
    expect(about('ended')).toMatchObject({ why: 'over' });
    expect(about('ended')).not.toHaveProperty('still');
  });

  it('what was over before is not told again', () => {
    const story = two();
    story.tell(over(story, 0));
    const { to } = change(story, { kind: 'watch.drill', data: { to: 'pal' } });
    expect(to('ended')).toEqual([]);
  });
});

describe('a trouble and a missed time', () => {
  it('when the graver goes, who knew of both hears that the lesser stands', () => {
    const story = departed().tell(trouble('a broken arm'));
    const [arm] = troubles(story);
    story.tell(
      raised('uncertainty', ['@field', 'dana']),
      raised('distress', ['@field', 'dana'], { root: `trouble:${arm?.seq}`, dueMs: DOWN + HOUR }),
    );
    const graver = story.state.watch.raised[1]?.seq;
    const { notices, after } = change(story, over(story, 0));
    const ended = notices.filter((n) => n.what.kind === 'ended');
    // Once each, though it is found by two ways.
    expect(ended.map((n) => [n.to, n.what])).toEqual(
      ['@field', 'dana'].map((to) => [
        to,
        { kind: 'ended', seq: after.seq, raised: graver, why: 'over', by: 'Greta', still: true },
      ]),
    );
    expect(notices.filter((n) => n.what.kind === 'phase')).toEqual([]);
  });

  it('who knew of the lesser alone hears nothing', () => {
    const story = departed().tell(trouble('a broken arm'));
    const [arm] = troubles(story);
    story.tell(
      raised('uncertainty', ['pal']),
      raised('distress', ['dana'], { root: `trouble:${arm?.seq}`, dueMs: DOWN + HOUR }),
    );
    expect(change(story, over(story, 0)).to('ended')).toEqual(['dana']);
  });
});
