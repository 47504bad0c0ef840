/**
 * What each kind of entry takes, at its bounds and just outside. A record is read for ever, so a bound
 * that is widened or narrowed by mistake is a fault: what was stored must stay readable.
 */
import { describe, expect, it } from 'vitest';
import type { KindName } from '../../../src/trip/fact.ts';
import { KIND_NAMES, kindOf } from '../../../src/trip/kinds/index.ts';
import { pitchOf } from '../build.ts';
import { OPENING, PLAN_SHAPES, TIMETABLE } from './shapes-plan.ts';
import { WATCH_SHAPES } from './shapes-watch.ts';

const SHAPES = { ...PLAN_SHAPES, ...WATCH_SHAPES };
const takes = (kind: string, data: unknown) =>
  kindOf(kind as KindName).data.safeParse(data).success;

it('every kind is tried here', () => {
  expect(Object.keys(SHAPES).sort()).toEqual([...KIND_NAMES].sort());
});

describe.each(Object.entries(SHAPES))('%s', (kind, pairs) => {
  it('takes what it ought to', () => {
    for (const good of pairs.flatMap(([some]) => some)) {
      expect([good, takes(kind, good)]).toEqual([good, true]);
    }
  });

  it('ASVS V2.1.1: refuses what it ought not to', () => {
    for (const bad of pairs.flatMap(([, some]) => some)) {
      expect([bad, takes(kind, bad)]).toEqual([bad, false]);
    }
    expect(takes(kind, undefined)).toBe(false);
    expect(takes(kind, [])).toBe(false);
  });
});

it('what is typed with blanks round it is kept without them', () => {
  const kept = (kind: string, data: object) => kindOf(kind as KindName).data.parse(data);
  expect(kept('trip.opened', { ...OPENING, name: ' Harrow ', emergencyNumber: ' 112 ' })).toEqual({
    ...OPENING,
    name: 'Harrow',
    emergencyNumber: '112',
  });
  expect(kept('watch.called', { words: ' on the phone ' })).toEqual({ words: 'on the phone' });
  expect(kept('watch.ok', { how: 'self', place: ' ledge ' })).toEqual({
    how: 'self',
    place: 'ledge',
  });
  expect(kept('watch.details', { gear: ' rope ' })).toEqual({ gear: 'rope' });
  expect(kept('shuttle.set', { name: ' boat ', timetable: TIMETABLE })).toMatchObject({
    name: 'boat',
  });
});

it('says what is wrong with a zone, with pitches out of order, and with a person without a name', () => {
  const why = (kind: string, data: unknown) =>
    kindOf(kind as KindName).data.safeParse(data).error?.issues[0]?.message;
  expect(why('trip.opened', { ...OPENING, zone: 'Mars/Base' })).toBe(
    'not a zone of the tz database',
  );
  expect(why('topo.loaded', { pitches: [pitchOf(2)] })).toBe('pitches run 1, 2, 3…');
  expect(why('roster.edited', { id: 'm', patch: { name: null } })).toBe(
    'a person keeps a name and a role',
  );
});
