/** Who can be told, how, in which order; and how a party is named. */
import { describe, expect, it } from 'vitest';
import {
  accountOf,
  contacts,
  field,
  names,
  partyNames,
  reachable,
  verb,
  waysOf,
} from '../../src/alarm/who.ts';
import { personById } from '../../src/trip/state.ts';
import { DAWN_MS, opened, Story } from './trip.ts';

const edit = (id: string, patch: object) => ({ kind: 'roster.edited', data: { id, patch } });
const left = (id: string) => ({ kind: 'roster.removed', data: { id }, told: DAWN_MS });
const ways = (story: Story, id: string) => waysOf(story.state, personById(story.state, id)!);
const ids = (people: readonly { id: string }[]) => people.map((p) => p.id);
const added = (id: string, fields: object, at?: number) => ({
  kind: 'roster.added',
  data: { id, fields: { name: id, roles: ['contact'], ...fields } },
  ...(at === undefined ? {} : { at }),
});

describe('how somebody is reached', () => {
  it('by direct message, then by mail, as far as there is one; or in the order they chose', () => {
    expect(ways(opened(), 'dana')).toEqual(['dm', 'email']);
    expect(ways(opened(), 'mara')).toEqual(['dm']);
    expect(ways(opened(), 'pal')).toEqual(['email']);
    expect(ways(opened().tell(edit('dana', { ways: ['email', 'dm'] })), 'dana')).toEqual([
      'email',
      'dm',
    ]);
    expect(ways(opened().tell(edit('dana', { ways: ['email'] })), 'dana')).toEqual(['email']);
    expect(ways(opened().tell(edit('pal', { ways: ['dm'] })), 'pal')).toEqual([]);
  });

  it('by the account on the roster; in the local channel by name', () => {
    const here = opened().state;
    expect(accountOf(here, personById(here, 'dana')!)).toBe('u-dana');
    expect(accountOf(here, personById(here, 'pal')!)).toBeUndefined();
    const local = { ...here, openedBy: { id: 'local:mara', name: 'Mara' } };
    expect(accountOf(local, personById(here, 'pal')!)).toBe('local:pål');
    expect(accountOf(local, personById(here, 'dana')!)).toBe('u-dana');
    const other = { ...here, openedBy: { id: 'not-local:mara', name: 'Mara' } };
    expect(accountOf(other, personById(here, 'pal')!)).toBeUndefined();
  });
});

describe('contacts are told', () => {
  it('each at the place that their order says; the others take the free places, as they joined', () => {
    const story = new Story().tell(
      added('late', {}, DAWN_MS + 2),
      added('early', {}, DAWN_MS + 1),
      added('second', { order: 2 }, DAWN_MS + 3),
      added('first', { order: 1 }, DAWN_MS + 4),
      added('last', { order: 20 }, DAWN_MS),
      added('climber', { roles: ['climber'] }, DAWN_MS),
    );
    expect(ids(contacts(story.state))).toEqual(['first', 'second', 'early', 'late', 'last']);
  });

  it('whoever is second, though the first has no order', () => {
    const story = new Story().tell(
      added('second', { order: 2 }, DAWN_MS),
      added('other', {}, DAWN_MS + 1),
    );
    expect(ids(contacts(story.state))).toEqual(['other', 'second']);
  });

  it('as long as they are there and can be told anything at all', () => {
    expect(ids(reachable(opened().state))).toEqual(['dana', 'pal']);
    const mute = opened().tell(edit('dana', { email: null, userId: null }));
    expect(ids(contacts(mute.state))).toEqual(['dana', 'pal']);
    expect(ids(reachable(mute.state))).toEqual(['pal']);
    expect(ids(contacts(opened().tell(left('dana')).state))).toEqual(['pal']);
  });
});

describe('those the channel speaks to', () => {
  it('are the climbers and the ground crew who are still there', () => {
    expect(ids(field(opened().state))).toEqual(['mara', 'jonas', 'ines', 'greta', 'pal']);
    expect(ids(field(opened().tell(left('jonas')).state))).toEqual([
      'mara',
      'ines',
      'greta',
      'pal',
    ]);
  });
});

describe('a party by name', () => {
  it('one, two, many, none', () => {
    const of = (...list: string[]) => names(list.map((name) => ({ name })));
    expect(of()).toBe('nobody');
    expect(of('Mara')).toBe('Mara');
    expect(of('Mara', 'Jonas')).toBe('Mara and Jonas');
    expect(of('Mara', 'Jonas', 'Ines')).toBe('Mara, Jonas and Ines');
  });

  it('is its climbers who are there, with the verb that goes with them', () => {
    const said = (story: Story) => `${partyNames(story.state)} ${verb(story.state, 'is', 'are')}`;
    expect(said(opened())).toBe('Mara, Jonas and Ines are');
    const two = opened().tell(left('ines'));
    expect(said(two)).toBe('Mara and Jonas are');
    expect(said(two.tell(left('jonas')))).toBe('Mara is');
    expect(partyNames(two.tell(left('mara')).state)).toBe('the party');
    expect(verb(two.state, 'is', 'are')).toBe('are');
  });
});
