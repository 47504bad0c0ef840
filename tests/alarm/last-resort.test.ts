/** Of distress those are told who were asked to be contact and kept silent, where nobody at home has agreed. */
import { describe, expect, it } from 'vitest';
import { phasesToTell, phaseTimes } from '../../src/alarm/ladder.ts';
import { unacked } from '../../src/alarm/repeats.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story, type Told } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

const joins = (name: string): Told => ({
  kind: 'roster.added',
  data: {
    id: name.toLowerCase(),
    fields: { name, roles: ['contact'], email: `${name.toLowerCase()}@example.org` },
  },
});
const asked = (id: string, to = `${id}@example.org`): Told => ({
  kind: 'contact.asked',
  data: { person: id, way: 'email', to },
});
const says = (id: string, answer: string): Told => ({
  kind: 'contact.answered',
  data: { person: id, way: 'email', to: `${id}@example.org`, answer },
});

/** Dana and Pål are gone from the roster; Edda, Olav and Tora were asked, in this order. */
function nobodyAgreed(): Story {
  const gone = (id: string): Told => ({ kind: 'roster.removed', data: { id } });
  const all = ['Edda', 'Olav', 'Tora'];
  return departed().tell(
    ...[gone('dana'), gone('pal')],
    ...all.map(joins),
    ...all.map((name) => asked(name.toLowerCase())),
  );
}

const toldAt = (story: Story, nowMs: number) =>
  phasesToTell(story.state, nowMs).map((r) => [r.phase, r.to]);

describe('where nobody at home has agreed', () => {
  it('the first two of those who were asked hear of distress, and of nothing before', () => {
    const story = nobodyAgreed();
    expect(toldAt(story, DOWN + 3 * HOUR)).toEqual([['alert', ['@field']]]);
    expect(toldAt(story, CALLOUT)).toEqual([['distress', ['@field', 'edda', 'olav']]]);
    const theirs = phaseTimes(story.state).filter((r) => r.group !== '@field');
    expect(theirs.map((r) => [r.group, r.phase, r.atMs])).toEqual([
      ['edda', 'distress', CALLOUT],
      ['olav', 'distress', CALLOUT],
    ]);
  });

  it('who said no is not one of them', () => {
    const story = nobodyAgreed().tell(says('edda', 'no'));
    expect(toldAt(story, CALLOUT)).toEqual([['distress', ['@field', 'olav', 'tora']]]);
  });

  it('none of them, once somebody has said yes', () => {
    const story = nobodyAgreed().tell(says('tora', 'yes'));
    expect(toldAt(story, CALLOUT)).toEqual([['distress', ['@field', 'tora']]]);
  });

  it('each hears of one alarm only: who was told of an earlier one is passed over, who was told of this one stays', () => {
    const raised = (root: string, dueMs: number, to: string[]): Told => ({
      kind: 'watch.raised',
      data: { phase: 'distress', root, dueMs, to },
      told: dueMs,
      by: 'tagline',
    });
    const story = nobodyAgreed().tell(raised('callout', CALLOUT, ['@field', 'edda', 'olav']));
    // It stands: they are of it still.
    const groups = () => new Set(phaseTimes(story.state).map((r) => r.group));
    expect(groups()).toEqual(new Set(['@field', 'edda', 'olav']));
    // And are not reminded: they never agreed to be told at all.
    const [distress] = story.state.watch.raised;
    expect(distress && unacked(story.state, distress, CALLOUT + HOUR)).toEqual(['@field']);
    // The plan is moved, so that this one is over: the next is told to others.
    story.tell({
      kind: 'watch.planned',
      data: { downMs: DOWN + 24 * HOUR, calloutMs: CALLOUT + 24 * HOUR },
      told: CALLOUT + MINUTE,
    });
    expect(groups()).toEqual(new Set(['@field', 'tora']));
    expect(toldAt(story, CALLOUT + 24 * HOUR)).toEqual([['distress', ['@field', 'tora']]]);
  });
});
