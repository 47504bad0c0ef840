/** Who is told of which phase, and when; which phase stands. */
import { describe, expect, it } from 'vitest';
import {
  phaseNow,
  phasesToTell,
  phaseTimes,
  rankOf,
  reached,
  standing,
  toldOf,
} from '../../src/alarm/ladder.ts';
import { DAWN_MS, departed, HOUR, MINUTE, type Story } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

/** A phase as it was told. */
const raised = (phase: string, to: string[], more: object = {}, told = DOWN) => ({
  kind: 'watch.raised',
  data: { phase, root: 'down', dueMs: DOWN, to, ...more },
  told,
  by: 'tagline',
});
const delays = (data: object) => ({ kind: 'watch.delays', data });
const minutesOf = (story: Story, group: string) =>
  Object.fromEntries(
    phaseTimes(story.state)
      .filter((r) => r.group === group && r.root.kind === 'down')
      .map((r) => [r.phase, (r.atMs - DOWN) / MINUTE]),
  );

describe('when each is told', () => {
  it('the channel of everything, the first contact from uncertainty on, the next from alert on', () => {
    expect(minutesOf(departed(), '@field')).toEqual({ due: 0, uncertainty: 30, alert: 120 });
    expect(minutesOf(departed(), 'dana')).toEqual({ uncertainty: 30, alert: 120 });
    expect(minutesOf(departed(), 'pal')).toEqual({ alert: 120 });
  });

  it('nobody of alert before uncertainty: a contact who asked for a longer wait has it for both', () => {
    // ICAO Annex 11, 5.2.1 (from memory): the alert phase follows the inquiries of the uncertainty phase.
    const story = departed().tell(delays({ person: 'dana', uncertaintyMin: 180 }));
    expect(minutesOf(story, 'dana')).toEqual({ uncertainty: 180, alert: 180 });
    expect(minutesOf(story, 'pal')).toEqual({ alert: 120 });
    // Both at one moment: the alert is what is told, once.
    const at = phasesToTell(story.state, DOWN + 180 * MINUTE);
    expect(at.map((r) => [r.phase, r.to])).toEqual([['alert', ['@field', 'pal', 'dana']]]);
  });

  it('the same for the whole trip', () => {
    const story = departed().tell(delays({ uncertaintyMin: 90, alertMin: 60 }));
    expect(minutesOf(story, '@field')).toEqual({ due: 0, uncertainty: 90, alert: 90 });
  });

  it('of distress at the call-out time and of nothing else then; no other time leads to distress', () => {
    const byRoot = phaseTimes(departed().state).map((r) => `${r.root.kind} ${r.phase}`);
    expect(new Set(byRoot)).toEqual(
      new Set(['down due', 'down uncertainty', 'down alert', 'callout distress']),
    );
    const distress = phaseTimes(departed().state).filter((r) => r.phase === 'distress');
    expect(distress.map((r) => [r.group, r.atMs])).toEqual([
      ['@field', CALLOUT],
      ['dana', CALLOUT],
      ['pal', CALLOUT],
    ]);
  });
});

describe('what stands', () => {
  it('a phase about a time that is still owed, not one about a time that was moved', () => {
    const story = departed().tell(raised('due', ['@field']));
    expect(standing(story.state)).toHaveLength(1);
    story.tell({ kind: 'watch.planned', data: { downMs: DOWN + HOUR }, told: DOWN });
    expect(standing(story.state)).toEqual([]);
    // Set back to the very time it was about, it stands again.
    story.tell({ kind: 'watch.planned', data: { downMs: DOWN }, told: DOWN });
    expect(standing(story.state)).toHaveLength(1);
  });

  it('the highest one told is the trip’s, in whatever order they were told', () => {
    const story = departed().tell(
      raised('uncertainty', ['@field']),
      raised('alert', ['dana']),
      raised('due', ['@field']),
    );
    expect(phaseNow(story.state)?.phase).toBe('alert');
    expect(phaseNow(departed().state)).toBeUndefined();
  });

  it('each hears by the highest that they themselves were told of', () => {
    const story = departed().tell(
      raised('due', ['@field']),
      raised('uncertainty', ['@field', 'dana']),
      raised('alert', ['pal']),
      raised('due', ['@field']),
    );
    const phases = [...reached(story.state)].map(([group, r]) => [group, r.phase]);
    expect(phases).toEqual([
      ['@field', 'uncertainty'],
      ['dana', 'uncertainty'],
      ['pal', 'alert'],
    ]);
  });

  it('of two of the same height, the one told last counts for those who were told of both', () => {
    const story = departed().tell(
      raised('alert', ['dana']),
      raised('alert', ['dana'], { root: 'callout', dueMs: CALLOUT }),
    );
    expect(reached(story.state).get('dana')?.seq).toBe(story.events.length);
    // The trip is overdue since the first.
    expect(phaseNow(story.state)?.seq).toBe(story.events.length - 1);
  });

  it('no phase is below all', () => {
    expect(rankOf(undefined)).toBe(-1);
    expect((['due', 'uncertainty', 'alert', 'distress'] as const).map(rankOf)).toEqual([
      0, 1, 2, 3,
    ]);
  });
});

describe('somebody told instead of one who can’t be reached', () => {
  const unreached = (data: object) => ({
    kind: 'watch.unreached',
    data: { why: 'no-way', ...data },
  });

  it('counts as told of that phase, once, and of no other', () => {
    const story = departed().tell(raised('uncertainty', ['dana']), raised('alert', ['pal']));
    const [first, second] = story.state.watch.raised;
    story.tell(
      unreached({ person: 'dana', raised: first?.seq, next: 'pal' }),
      unreached({ person: 'mara', raised: first?.seq, next: 'pal' }),
      unreached({ person: 'ines', raised: first?.seq }),
      unreached({ person: 'jonas', next: 'greta' }),
    );
    expect(toldOf(story.state, first!)).toEqual(['dana', 'pal']);
    expect(toldOf(story.state, second!)).toEqual(['pal']);
  });

  it('is not told of it again when their own turn comes', () => {
    const story = departed().tell(
      raised('due', ['@field']),
      raised('uncertainty', ['@field', 'dana']),
      raised('alert', ['@field', 'dana'], {}, DOWN + 2 * HOUR),
    );
    expect(phasesToTell(story.state, DOWN + 2 * HOUR).map((r) => r.to)).toEqual([['pal']]);
    story.tell(unreached({ person: 'dana', raised: story.state.seq, next: 'pal' }));
    expect(phasesToTell(story.state, DOWN + 2 * HOUR)).toEqual([]);
  });
});

describe('what is to be told now', () => {
  it('names what is longest overdue, when two things bring the same phase', () => {
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs: DOWN - 10 * MINUTE } });
    const [due] = phasesToTell(story.state, DOWN);
    expect(due).toMatchObject({ phase: 'due', atMs: DOWN - 10 * MINUTE, to: ['@field'] });
    expect(due?.root.kind).toBe('checkin');
    // Nor does it depend on which of the two comes first in the list of what is owed.
    const apart = departed().tell(
      delays({ person: 'dana', uncertaintyMin: 20 }),
      delays({ uncertaintyMin: 25 }),
    );
    const [uncertainty] = phasesToTell(apart.state, DOWN + 30 * MINUTE);
    expect(uncertainty).toMatchObject({ atMs: DOWN + 20 * MINUTE, to: ['dana', '@field'] });
  });

  it('names the first of two things that bring the same phase, also above the lowest', () => {
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs: DOWN - 10 * MINUTE } });
    expect(phasesToTell(story.state, DOWN + 35 * MINUTE)).toMatchObject([
      { phase: 'uncertainty', root: { kind: 'checkin' }, atMs: DOWN + 20 * MINUTE },
    ]);
    // Two for one and the same time: always the same one.
    const tie = departed().tell({ kind: 'watch.promised', data: { dueMs: DOWN } });
    expect(phasesToTell(tie.state, DOWN).map((r) => r.root.kind)).toEqual(['checkin']);
  });

  it('tells of the higher phase of an older thing, though a newer one has just become due', () => {
    const story = departed().tell({
      kind: 'watch.promised',
      data: { dueMs: DOWN - 100 * MINUTE },
    });
    const told = phasesToTell(story.state, DOWN + 20 * MINUTE).map((r) => [
      r.phase,
      r.root.kind,
      r.to,
    ]);
    expect(told).toEqual([['alert', 'checkin', ['@field', 'dana', 'pal']]]);
  });

  it('tells those who are at different steps each their own, the lower step first', () => {
    const story = departed().tell(delays({ person: 'dana', alertMin: 300 }));
    expect(phasesToTell(story.state, DOWN + 2 * HOUR).map((r) => [r.phase, r.to])).toEqual([
      ['uncertainty', ['dana']],
      ['alert', ['@field', 'pal']],
    ]);
  });

  it('passes over nobody for what others were told, and tells nobody of what they know', () => {
    const story = departed().tell(raised('due', ['@field']), raised('uncertainty', ['@field']));
    expect(phasesToTell(story.state, DOWN + 30 * MINUTE).map((r) => [r.phase, r.to])).toEqual([
      ['uncertainty', ['dana']],
    ]);
    story.tell(raised('alert', ['dana']));
    expect(phasesToTell(story.state, DOWN + 30 * MINUTE)).toEqual([]);
  });

  it('does not tell anew of a lower step about something else while a higher one stands', () => {
    const story = departed().tell(raised('alert', ['@field', 'dana', 'pal']), {
      kind: 'watch.promised',
      data: { dueMs: DOWN + 3 * HOUR },
    });
    expect(phasesToTell(story.state, DOWN + 3 * HOUR + 119 * MINUTE)).toMatchObject([
      { phase: 'distress' },
    ]);
    const noCallout = story.tell({ kind: 'watch.planned', data: { calloutMs: null } });
    expect(phasesToTell(noCallout.state, DOWN + 4 * HOUR)).toEqual([]);
  });

  it('nor is it written down as told, where the lower step belongs to the next day', () => {
    const next = DOWN + 20 * HOUR;
    const story = departed().tell(
      { kind: 'watch.planned', data: { calloutMs: DOWN + 30 * HOUR } },
      raised('alert', ['@field', 'dana', 'pal']),
      { kind: 'watch.promised', data: { dueMs: next } },
    );
    const at = (min: number) =>
      phasesToTell(story.state, next + min * MINUTE).map((r) => [r.phase, r.to]);
    // An alert stands: each reads of that, and what is milder would never be sent.
    expect([at(0), at(119)]).toEqual([[], []]);
    expect(at(120)).toEqual([['alert', ['@field', 'dana', 'pal']]]);
  });

  it('tells of distress without a call-out time, four hours after an alert', () => {
    const story = departed().tell(
      { kind: 'watch.planned', data: { calloutMs: null } },
      raised('alert', ['@field', 'dana', 'pal']),
    );
    expect(phasesToTell(story.state, DOWN + 6 * HOUR - 1)).toEqual([]);
    expect(phasesToTell(story.state, DOWN + 6 * HOUR)).toMatchObject([
      { phase: 'distress', root: { kind: 'silence' }, to: ['@field', 'dana', 'pal'] },
    ]);
  });

  /** Dana alone was told of the alert about a promise so long before `DOWN`, at that time. */
  function danaKnows(beforeMs: number, toldMs: number) {
    const dueMs = DOWN - beforeMs;
    const story = departed().tell({ kind: 'watch.promised', data: { dueMs } });
    const root = `checkin:${story.state.watch.promises[0]?.id}`;
    return story.tell(raised('alert', ['dana'], { root, dueMs }, toldMs));
  }
  const ALERT = DOWN + 2 * HOUR;
  const thingsToTell = (story: Story) =>
    phasesToTell(story.state, ALERT).map((r) => [r.phase, r.root.kind, r.to]);

  it('tells each of their own thing, where two things bring one phase to different people', () => {
    expect(thingsToTell(danaKnows(13 * HOUR, DOWN - 11 * HOUR))).toEqual([
      ['alert', 'checkin', ['@field', 'pal']],
      ['alert', 'down', ['dana']],
    ]);
  });

  it('spares whoever was told of something as high that was missed less than twelve hours before', () => {
    const told = DOWN - 9 * HOUR;
    const danaToo = ['alert', 'down', ['dana']];
    expect(thingsToTell(danaKnows(12 * HOUR, told))).toContainEqual(danaToo);
    expect(thingsToTell(danaKnows(12 * HOUR - 1, told))).not.toContainEqual(danaToo);
    // Or of whatever it was, when the other had its time already.
    expect(thingsToTell(danaKnows(13 * HOUR, ALERT - 1))).toContainEqual(danaToo);
    expect(thingsToTell(danaKnows(13 * HOUR, ALERT))).not.toContainEqual(danaToo);
  });
});

describe('trouble', () => {
  const reported = (told: number) => ({
    kind: 'trouble.reported',
    data: { who: ['ines'], condition: 'hurt', what: 'fell', how: 'self', wants: 'cope' },
    at: told,
  });

  it('has an alert and a distress, nothing milder', () => {
    const story = departed().tell(reported(DOWN - HOUR));
    const phases = phaseTimes(story.state).flatMap((r) =>
      r.root.kind === 'trouble' && r.group === '@field' ? [[r.phase, r.atMs]] : [],
    );
    expect(phases).toEqual([
      ['alert', DOWN - HOUR],
      ['distress', DOWN + HOUR],
    ]);
  });

  it('is told also to those who know of distress', () => {
    const story = departed().tell(
      raised('distress', ['@field', 'dana', 'pal'], { root: 'callout', dueMs: CALLOUT }, CALLOUT),
      reported(CALLOUT + HOUR),
    );
    expect(
      phasesToTell(story.state, CALLOUT + HOUR).map((r) => [r.phase, r.root.kind, r.to]),
    ).toEqual([['alert', 'trouble', ['@field', 'dana', 'pal']]]);
  });

  it('goes before silence that became as grave later, though that was due before', () => {
    const story = departed().tell(reported(DOWN + HOUR));
    expect(phasesToTell(story.state, DOWN + 2 * HOUR)).toMatchObject([
      { phase: 'alert', root: { kind: 'trouble' }, atMs: DOWN + HOUR },
    ]);
  });
});
