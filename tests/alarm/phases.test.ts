/**
 * The phases against the published ones. ICAO Annex 12 (8th ed.), chapter 1: uncertainty phase is "a
 * situation wherein uncertainty exists as to the safety of" those concerned, alert phase one "wherein
 * apprehension exists", distress phase one of "reasonable certainty" of grave danger. Annex 11, 5.2.1:
 * uncertainty when no word has come 30 minutes after it should have; alert when further attempts bring
 * no news; distress when wider inquiries bring none either. Ended when they are known to be safe.
 * Land route cards wait two hours before the rescue service is called (walkscotland.com/routecard.htm).
 */
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { phaseNow, phasesToTell, phaseTimes, standing } from '../../src/alarm/ladder.ts';
import { DAWN_MS, departed, HOUR, MINUTE, opened } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

/** As the loop would record it. */
function raise(story: ReturnType<typeof departed>, nowMs: number) {
  for (const { phase, root, to } of phasesToTell(story.state, nowMs)) {
    const data = { phase, root: root.key, dueMs: root.dueMs, to };
    story.tell({ kind: 'watch.raised', data, told: nowMs, by: 'tagline' });
  }
  return story;
}

describe('the ladder', () => {
  it('asks the party first, then tells the contact after 30 min, both contacts after 2 h, and all at the call-out time', () => {
    const story = departed();
    const told = (nowMs: number) => phasesToTell(story.state, nowMs).map((r) => [r.phase, r.to]);
    expect(told(DOWN - 1)).toEqual([]);
    expect(told(DOWN)).toEqual([['due', ['@field']]]);
    raise(story, DOWN);
    expect(told(DOWN + 30 * MINUTE - 1)).toEqual([]);
    expect(told(DOWN + 30 * MINUTE)).toEqual([['uncertainty', ['@field', 'dana']]]);
    raise(story, DOWN + 30 * MINUTE);
    expect(told(DOWN + 120 * MINUTE - 1)).toEqual([]);
    expect(told(DOWN + 120 * MINUTE)).toEqual([['alert', ['@field', 'dana', 'pal']]]);
    raise(story, DOWN + 120 * MINUTE);
    expect(told(CALLOUT - 1)).toEqual([]);
    expect(told(CALLOUT)).toEqual([['distress', ['@field', 'dana', 'pal']]]);
    raise(story, CALLOUT);
    expect(told(CALLOUT + 48 * HOUR)).toEqual([]);
    expect(phaseNow(story.state)?.phase).toBe('distress');
  });

  it('attempts contact before every higher phase: nobody is told of alert who could not act in uncertainty', () => {
    const order = phaseTimes(departed().state).filter((r) => r.group === 'dana');
    expect(order.map((r) => r.phase)).toEqual(['uncertainty', 'alert', 'distress']);
    expect(order.map((r) => r.atMs)).toEqual([DOWN + 30 * MINUTE, DOWN + 120 * MINUTE, CALLOUT]);
  });

  it('after a long silence of its own tells each person the highest phase only', () => {
    const late = phasesToTell(departed().state, DOWN + 3 * HOUR);
    expect(late).toMatchObject([{ phase: 'alert', to: ['@field', 'dana', 'pal'] }]);
  });

  it('takes the times set for the trip, and those of one contact', () => {
    const story = departed().tell(
      { kind: 'watch.delays', data: { uncertaintyMin: 15, alertMin: 60 } },
      { kind: 'watch.delays', data: { person: 'dana', uncertaintyMin: 45 } },
    );
    const at = (group: string, phase: string) =>
      phaseTimes(story.state).find((r) => r.group === group && r.phase === phase)?.atMs;
    expect(at('@field', 'uncertainty')).toBe(DOWN + 15 * MINUTE);
    expect(at('dana', 'uncertainty')).toBe(DOWN + 45 * MINUTE);
    expect(at('dana', 'alert')).toBe(DOWN + 60 * MINUTE);
    story.tell({ kind: 'watch.delays', data: { uncertaintyMin: null, alertMin: null } });
    expect(at('@field', 'alert')).toBe(DOWN + 120 * MINUTE);
  });

  it('passes over a contact without any way to be reached', () => {
    const story = departed().tell({
      kind: 'roster.edited',
      data: { id: 'dana', patch: { email: null, userId: null } },
    });
    expect(phasesToTell(story.state, DOWN + 31 * MINUTE)).toMatchObject([
      { phase: 'uncertainty', to: ['@field', 'pal'] },
    ]);
  });
});

describe('what ends an alarm', () => {
  const alarmed = () => raise(raise(departed(), DOWN), DOWN + 31 * MINUTE);

  it.each([
    ['a pitch done', { kind: 'pitch.done', data: { pitch: 1 } }],
    ['a relayed word', { kind: 'watch.ok', data: { how: 'radio' } }],
    ['settling for the night', { kind: 'bivy.settled', data: { pitch: 1 } }],
    ['everyone down', { kind: 'trip.down' }],
  ])('%s', (_name, told) => {
    const story = alarmed().tell({ ...told, at: DOWN + 40 * MINUTE });
    expect(standing(story.state)).toEqual([]);
  });

  it('a moved time, and not a word from before', () => {
    const old = alarmed().tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: DOWN - 61 * MINUTE,
      told: DOWN + 40 * MINUTE,
    });
    expect(phaseNow(old.state)?.phase).toBe('uncertainty');
    old.tell({ kind: 'watch.planned', data: { downMs: DOWN + 2 * HOUR } });
    expect(phaseNow(old.state)).toBeUndefined();
  });

  it('a word of the hour before that is told afterwards', () => {
    const story = alarmed().tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: DOWN - 20 * MINUTE,
      told: DOWN + 40 * MINUTE,
    });
    expect(phaseNow(story.state)).toBeUndefined();
  });

  it('and striking that word brings it back', () => {
    const story = alarmed().tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: DOWN + 40 * MINUTE,
    });
    story.strike(story.events.length, DOWN + 50 * MINUTE);
    expect(phaseNow(story.state)?.phase).toBe('uncertainty');
  });
});

describe('what is owed', () => {
  it('nothing before the departure and nothing once everyone is down', () => {
    const times = { kind: 'watch.planned', data: { downMs: DOWN, calloutMs: CALLOUT } };
    expect(deadlinesOf(opened().tell(times).state, DAWN_MS)).toEqual([]);
    const down = departed().tell({ kind: 'trip.down', at: DOWN });
    expect(deadlinesOf(down.state, DOWN)).toEqual([]);
  });

  it('a promise is kept by a word in the hour before it, not by an earlier one', () => {
    const promised = (at: number) =>
      departed().tell(
        { kind: 'watch.promised', data: { dueMs: DAWN_MS + 6 * HOUR } },
        { kind: 'watch.ok', data: { how: 'self' }, at },
      ).state;
    const keys = (at: number) => phaseTimes(promised(at)).map((r) => r.root.kind);
    expect(keys(DAWN_MS + 5 * HOUR)).not.toContain('checkin');
    expect(keys(DAWN_MS + 5 * HOUR - MINUTE)).toContain('checkin');
  });

  it('a nightly check-in goes by the wall’s clock across a clock change, and a missed night stays owed', () => {
    // Clocks in Oslo go back on 26 October 2031 (EU Directive 2000/84/EC: last Sunday of October).
    const friday = Date.UTC(2031, 9, 24, 6, 0);
    const story = opened().tell(
      { kind: 'watch.nightly', data: { clock: '21:00' }, told: friday },
      { kind: 'trip.departed', at: friday },
    );
    const due = () => new Date(phaseTimes(story.state)[0]?.root.dueMs ?? 0).toISOString();
    expect(due()).toBe('2031-10-24T19:00:00.000Z');
    story.tell({ kind: 'watch.ok', data: { how: 'self' }, at: Date.UTC(2031, 9, 25, 19, 0) });
    expect(due()).toBe('2031-10-26T20:00:00.000Z');
  });

  it('a party heard from after its last agreed time is asked again, not let drop', () => {
    const heard = CALLOUT + 10 * MINUTE;
    const story = departed().tell({ kind: 'watch.ok', data: { how: 'radio' }, at: heard });
    const [next] = phaseTimes(story.state);
    expect(next?.root).toMatchObject({ kind: 'again', dueMs: heard + 120 * MINUTE });
  });

  it('the call-out time stands whatever was heard before it', () => {
    const story = departed().tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: CALLOUT - 10 * MINUTE,
    });
    expect(phasesToTell(story.state, CALLOUT)).toMatchObject([{ phase: 'distress' }]);
  });
});
