/** What is said to a post from the wall that can't be: times, sequence, breaks, nights, rain. */
import { describe, expect, it } from 'vitest';
import { list } from '../../../src/trip/rules/pitches.ts';
import { at, done, fixed, joined, NOW_MS, type Post, setUp, started } from '../build.ts';
import { refused } from './refused.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const posts = (...more: Post[]) => [...ROUTE, ...more];
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, atMs, data });
const rest = (pitch: number, minutes: number, atMs: number) =>
  of('pitch.break', { pitch, minutes }, atMs);
const D1: Post = { ...done(1, at(7)), id: 'd1' };
const DEPARTED = of('trip.departed', {}, at(9));
const DOWN = of('trip.down', {}, at(8));

refused([
  [
    'a time to come',
    ROUTE,
    [done(1, NOW_MS + 120_000)],
    '00:02 is still to come; it is 00:00 at the wall.',
    'Give the time it happened, like at:14:32 or at:-20m.',
  ],
  [
    'twice',
    posts({ ...D1, toldMs: at(7, 5), by: 'greta' }),
    [done(1, at(8))],
    'Pitch 1 is done already, at 07:00 (told 07:05 by greta).',
    'To mend it: /pitch amend entry:5',
  ],
  [
    'off the topo',
    ROUTE,
    [done(7, at(7))],
    'There is no pitch 7; the topo has 6.',
    '/topo show lists them; /topo edit number:7 length: adds one.',
  ],
  [
    'without a topo',
    setUp({ pitches: 0 }),
    [done(1, at(7))],
    'There is no topo yet.',
    '/topo load takes a CSV file; /topo edit number:1 length:38 one pitch.',
  ],
  [
    'nobody',
    ROUTE,
    [of('roster.removed', { id: 'eva' })],
    "eva isn't on the roster.",
    '/roster show lists who is; /roster add puts somebody on it.',
  ],
  [
    'somebody twice',
    ROUTE,
    [joined('mara', at(7))],
    'mara is on the roster already.',
    '/roster edit changes what is known of them.',
  ],
  [
    'departed twice',
    posts(DEPARTED),
    [of('trip.departed', {}, at(10))],
    'That was told already.',
    'If its time is wrong: /log show has its number for /pitch amend.',
  ],
  [
    'no link',
    ROUTE,
    [of('lead.unlinked', { first: 2 })],
    "Pitch 2 isn't linked with the next.",
    '/lead plan shows the links; name the lower pitch of the two.',
  ],
  [
    'no cutoff',
    ROUTE,
    [of('cutoff.removed', { id: 'c' })],
    'There is no such cutoff.',
    '/cutoff show lists them.',
  ],
  [
    'settled twice',
    posts(of('bivy.settled', { pitch: 1 }, at(7))),
    [of('bivy.settled', { pitch: 1 })],
    'You are settled already.',
    '/bivy leave ends the night.',
  ],
  [
    'up without a night',
    ROUTE,
    [of('bivy.left')],
    'No night is under way.',
    '/bivy settle begins one.',
  ],
  [
    'rain twice',
    posts(of('rain.started', {}, at(7))),
    [of('rain.started')],
    'It is raining by the log already.',
    '/rain stop ends it.',
  ],
  [
    'an end of no rain',
    ROUTE,
    [of('rain.stopped')],
    'No rain was told.',
    '/rain start, with at: for when it began.',
  ],
  [
    'one pitch left out',
    posts(D1),
    [done(3, at(9))],
    "Pitch 2 isn't done yet, so 3 can't be.",
    '/pitch done number:2 first, with at: for when it was.',
  ],
  [
    'two pitches left out',
    posts(D1),
    [done(4, at(9))],
    "Pitches 2 and 3 aren't done yet, so 4 can't be.",
    '/pitch done number:2 first, with at: for when it was.',
  ],
  [
    'started from the ground, three pitches up',
    ROUTE,
    [started(4, at(9))],
    "Pitches 1–3 aren't fixed or done yet, so 4 can't be started.",
    '/pitch done number:1 first, with at: for when it was.',
  ],
  [
    'fixed above one that is only started',
    posts(started(1, at(7))),
    [fixed(2, at(9))],
    "Pitch 1 isn't fixed or done yet, so 2 can't be fixed.",
    '/pitch done number:1 first, with at: for when it was.',
  ],
  [
    'done before it was started',
    posts(started(1, at(8))),
    [done(1, at(7))],
    "Pitch 1 was started at 08:00, so it can't be done at 07:00.",
    'If 08:00 is wrong: /pitch amend entry:5',
  ],
  [
    'done before it was fixed',
    posts(started(1, at(6)), fixed(1, at(8))),
    [done(1, at(7))],
    "Pitch 1 was fixed at 08:00, so it can't be done at 07:00.",
    'If 08:00 is wrong: /pitch amend entry:6',
  ],
  [
    'done before the one below, on another day',
    posts(done(1, at(25))),
    [done(2, at(23))],
    "Pitch 1 was done at Fri 01:00, so pitch 2 can't be done at Thu 23:00.",
    'If Fri 01:00 is wrong: /pitch amend entry:5',
  ],
  [
    'started before the one below',
    posts(started(1, at(7)), fixed(1, at(7))),
    [started(2, at(6))],
    "Pitch 1 was started at 07:00, so pitch 2 can't be started at 06:00.",
    'If 07:00 is wrong: /pitch amend entry:5',
  ],
  [
    'fixed before the one below',
    posts(fixed(1, at(7))),
    [fixed(2, at(6))],
    "Pitch 1 was fixed at 07:00, so pitch 2 can't be fixed at 06:00.",
    'If 07:00 is wrong: /pitch amend entry:5',
  ],
  [
    'departed after a pitch',
    posts(D1),
    [DEPARTED],
    'Pitch 1 was done at 07:00, before the departure at 09:00.',
    'One of the two is wrong: /log show has its number for /pitch amend or /pitch strike.',
  ],
  [
    'climbed after being down',
    posts(DOWN),
    [started(1, at(9))],
    'Pitch 1 was started at 09:00, after everyone was down at 08:00.',
    'One of the two is wrong: /log show has its number for /pitch amend or /pitch strike.',
  ],
  [
    'down before the departure',
    posts(DEPARTED),
    [DOWN],
    'Everyone down at 08:00 is before the departure at 09:00.',
    'One of the two is wrong: /log show has its number for /pitch amend or /pitch strike.',
  ],
  [
    'two breaks at a time',
    posts(rest(1, 30, at(8))),
    [rest(1, 30, at(8, 15))],
    'A break from 07:45 to 08:15 overlaps the one from 07:30 to 08:00.',
    'Fewer minutes, or another time: minutes: and at: (when it ended).',
  ],
  [
    'a break off the topo',
    ROUTE,
    [rest(7, 10, at(9))],
    'There is no pitch 7; the topo has 6.',
    '/topo show lists them.',
  ],
  [
    'a break before the pitch was begun',
    posts(started(1, at(7))),
    [rest(1, 30, at(7, 15))],
    "A break from 06:45 to 07:15 isn't inside pitch 1 (from 07:00).",
    'at: is when it ended; number: names another pitch.',
  ],
  [
    'a break before the pitch below was done',
    posts(D1),
    [rest(2, 30, at(7, 15))],
    "A break from 06:45 to 07:15 isn't inside pitch 2 (from 07:00).",
    'at: is when it ended; number: names another pitch.',
  ],
  [
    'a break after the pitch was done',
    posts(D1),
    [rest(1, 30, at(7, 15))],
    "A break from 06:45 to 07:15 isn't inside pitch 1 (until 07:00).",
    'at: is when it ended; number: names another pitch.',
  ],
  [
    'a break across the end of a pitch',
    posts(started(1, at(6)), D1),
    [rest(1, 30, at(7, 15))],
    "A break from 06:45 to 07:15 isn't inside pitch 1 (06:00 to 07:00).",
    'at: is when it ended; number: names another pitch.',
  ],
]);

describe('numbers in a refusal', () => {
  it.each([
    [[], ''],
    [[6], '6'],
    [[5, 6], '5 and 6'],
    [[5, 7], '5 and 7'],
    [[4, 5, 6], '4–6'],
    [[2, 4, 5], '2, 4 and 5'],
  ])('%j reads %s', (numbers, text) => {
    expect(list(numbers)).toBe(text);
  });
});
