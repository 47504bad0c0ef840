import { LIMITS } from '../../../src/limits.ts';
import { amend, at, done, joined, type Post, pitchOf, setUp, started, strike } from '../build.ts';
import { refused } from './refused.ts';

const ROUTE = setUp({ climbers: ['mara', 'jonas'] });
const posts = (...more: Post[]) => [...ROUTE, ...more];
const of = (kind: string, data: object = {}, atMs = at(8)): Post => ({ kind, atMs, data });
const link = (first: number) => of('lead.linked', { first });
const keep = (pitch: number, leader: string) => of('lead.assigned', { pitch, leader });
const D1: Post = { ...done(1, at(7)), id: 'd1' };
const ground = (id: string) => joined(id, at(6), { name: 'Greta', roles: ['ground'] });
const crowd = (count: number, roles: string[]) =>
  Array.from({ length: count }, (_, i) => joined(`c${i}`, at(7), { roles }));

refused([
  [
    'led by nobody',
    ROUTE,
    [done(1, at(7), 'eva')],
    "eva isn't on the roster, so can't lead pitch 1.",
    '/roster show lists who is.',
  ],
  [
    'led from the ground',
    posts(ground('greta')),
    [started(1, at(7), 'greta')],
    "Greta is on the roster, but not as a climber, so can't lead pitch 1.",
    '/roster show lists who is.',
  ],
  [
    'kept for nobody',
    posts(D1),
    [keep(1, 'eva')],
    "eva doesn't lead on this trip, so can't be given pitch 1.",
    '/roster show lists who leads; /roster edit leads:yes changes it.',
  ],
  [
    'kept for who follows only',
    posts(of('roster.edited', { id: 'jonas', patch: { leads: false } })),
    [keep(2, 'jonas')],
    "jonas doesn't lead on this trip, so can't be given pitch 2.",
    '/roster show lists who leads; /roster edit leads:yes changes it.',
  ],
  [
    'kept off the topo',
    ROUTE,
    [keep(7, 'mara')],
    'There is no pitch 7 for mara to lead; the topo has 6.',
    '/lead assign pitch:7 leader:none puts it back first.',
  ],
  [
    'a link off the topo',
    ROUTE,
    [link(6)],
    'There is no pitch 7 to link 6 with; the topo has 6.',
    '/lead unlink pitch:6, if they are linked.',
  ],
  [
    'three pitches in one lead',
    posts(link(1)),
    [link(2)],
    'Pitch 2 would be in two links; only two pitches go in one lead.',
    '/lead unlink pitch:1 or pitch:2 first.',
  ],
  [
    'a link that the rope is too short for',
    setUp({ pitches: [pitchOf(1, { lengthM: 36 }), pitchOf(2)] }),
    [link(1)],
    'Pitches 1 and 2 are 66 m together; the lead line of 70 m less its margin of 5 m gives 65 m.',
    'A longer line or another margin: /trip edit ropes:"lead 80 keep 5"',
    'Linked already and climbed in two now: /lead unlink pitch:1',
  ],
  [
    'too many climbers',
    ROUTE,
    crowd(LIMITS.climbers - 1, ['climber']),
    'A party holds 8 climbers at most.',
    'More climbers are two parties: a trip each, in two channels.',
  ],
  [
    'too many people',
    ROUTE,
    crowd(LIMITS.people - 1, ['ground']),
    'A trip holds 40 people at most, those who left included.',
    'Give one entry a new name instead: /roster edit who: name:',
  ],
  [
    'too many entries',
    ROUTE,
    Array.from({ length: LIMITS.events - ROUTE.length + 1 }, () => of('trip.edited', {})),
    'The record holds 5000 entries at most.',
    'Signs of life, trouble, /trip down and /trip close still go in.',
    '/log export keeps it; then /trip close, and /trip open for a new one.',
  ],
  [
    'anything after the end',
    posts(of('trip.closed')),
    [D1],
    'This trip is closed; its record can be read, not changed.',
    '/log export keeps a copy; /trip open begins a new one.',
  ],
  [
    'a record without its opening',
    [],
    [D1],
    'A record begins with the opening of its trip, and has one only.',
    'Take the file as /log export gave it.',
  ],
  [
    'an unknown kind',
    ROUTE,
    [of('pitch.sung')],
    'Unknown kind of entry: pitch.sung.',
    'A newer release may know it.',
  ],
  [
    'a field that is not readable',
    setUp({ climbers: [] }).slice(0, 0),
    [of('trip.opened', { ...(ROUTE[0]?.data as object), place: { lat: 91 } })],
    'place.lat: Too big: expected number to be <=90.',
    'Check what was typed; /help about: lists the options.',
  ],
  [
    'a field too many',
    ROUTE,
    [of('rain.started', { heavy: true })],
    'rain.started: Unrecognized key: "heavy".',
    'Check what was typed; /help about: lists the options.',
  ],
  [
    'a strike of nothing',
    ROUTE,
    [strike('gone')],
    'There is no such entry in the record.',
    '/log show lists them.',
  ],
  [
    'a strike of what is struck',
    posts(D1, strike('d1')),
    [strike('d1')],
    'Entry 5 is struck already (by entry 6).',
    'To bring it back, strike entry 6.',
  ],
  [
    'a strike of the opening',
    [{ ...(ROUTE[0] as Post), id: 'o1' }],
    [strike('o1')],
    "Entry 1 opens or ends the trip and can't be struck.",
    'To end the trip: /trip close.',
  ],
  [
    'an empty amendment',
    posts(D1),
    [amend('d1', {})],
    'Nothing to amend: name a time, a pitch or a leader.',
    'Like at:14:32, to:5 or leader:Mara.',
  ],
  [
    'an amendment of what an entry has not got',
    posts({ ...link(1), id: 'l1' }),
    [amend('l1', { atMs: at(7), pitch: 2, leader: 'mara' })],
    'Entry 5 has no time or pitch or leader to amend.',
    'Strike it and post it anew.',
  ],
]);
