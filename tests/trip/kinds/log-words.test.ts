/** How the log words each entry: the same words tell a contact what was heard last. */
import { describe, expect, it } from 'vitest';
import type { KindName } from '../../../src/trip/fact.ts';
import { KIND_NAMES, kindOf } from '../../../src/trip/kinds/index.ts';
import { at, done, joined, pitchOf, setUp, stateOf } from '../build.ts';

const state = stateOf([
  ...setUp({ climbers: [] }),
  joined('mara', at(5), { name: 'Mara' }),
  joined('jonas', at(5), { name: 'Jonas' }),
  joined('dana', at(5), { name: 'Dana', roles: ['contact'] }),
  { ...done(1, at(7)), id: 'd1' },
]);
const SEQ = state.seq;

const WORDS: Record<string, readonly [data: object, words: string][]> = {
  'trip.opened': [[{ name: 'Harrow Tower' }, 'trip opened: Harrow Tower']],
  'trip.edited': [
    [{ name: 'Harrow', settings: { leadLineM: 60 } }, 'trip edited: name, lead line'],
    [{ units: 'ft' }, 'trip edited: units'],
  ],
  'trip.departed': [[{}, 'departed']],
  'trip.down': [[{}, 'everyone down']],
  'trip.closed': [[{}, 'trip closed']],
  'rain.started': [[{}, 'rain began']],
  'rain.stopped': [[{}, 'rain ended']],
  'rain.dry': [[{ said: 'the warden' }, 'the rock was said to be dry: “the warden”']],
  'weather.told': [
    [{ from: 'typed', text: 'rain 50% 22-03', spells: [{}] }, 'weather told: “rain 50% 22-03”'],
    [{ from: 'typed', spells: [{}] }, 'weather told'],
    [{ from: 'met-norway', spells: [{}] }, 'weather fetched from MET Norway'],
    [{ from: 'typed', text: 'none', spells: [] }, 'the weather that was told no longer holds'],
  ],
  'kit.told': [
    [{ things: [{ name: 'Stove', packed: true }] }, 'kit: Stove packed'],
    [{ things: [{ name: 'Stove', off: true }] }, 'kit: no Stove'],
    [{ things: [{ name: 'Stove', brings: 'mara' }] }, 'kit: Stove'],
    [{ things: [{ name: 'Stove' }, { name: 'Pot' }] }, 'kit: 2 things'],
  ],
  'pace.taken': [[{ from: 'Harrow Tower' }, 'pace taken from Harrow Tower']],
  'log.imported': [[{ entries: 9 }, 'entries 1 to 9 brought in from a file']],
  'log.erased': [
    [{ entries: [4] }, 'erased on request: who told entry 4, and what it said of them'],
    [{ entries: [4, 5] }, 'erased on request: who told entries 4, 5, and what it said of them'],
  ],
  'retreat.began': [
    [{ pitch: 5 }, 'coming down from the stance after pitch 5'],
    [{ pitch: 0 }, 'coming down from the ground'],
  ],
  'retreat.rappelled': [
    [{ station: 3 }, 'rappelled to the stance after pitch 3'],
    [{ station: 0 }, 'rappelled to the ground'],
  ],
  'retreat.stopped': [
    [{}, 'climbing on, no retreat'],
    [{ who: ['mara'] }, 'Mara: climbing on, no retreat'],
  ],
  'party.split': [[{ who: ['mara', 'jonas'] }, 'Mara and Jonas on their own']],
  'party.joined': [
    [{ who: ['mara', 'jonas'] }, 'Mara and Jonas together again'],
    [{ who: [] }, 'all together again'],
  ],
  'party.out': [[{ who: ['jonas'] }, 'Jonas off the wall']],
  'descent.reached': [
    [{ point: 'off-top' }, 'left the top'],
    [{ point: 'foot' }, 'at the foot of the descent'],
    [{ point: 'stop' }, 'at the shuttle stop'],
  ],
  'wait.began': [
    [{ why: 'weather' }, 'waiting for the weather'],
    [{ why: 'other', words: 'a party above' }, 'waiting: “a party above”'],
  ],
  'wait.ended': [[{}, 'the wait is over']],
  'bivy.planned': [[{ pitch: 5 }, 'night planned after pitch 5']],
  'bivy.unplanned': [[{ pitch: 5 }, 'no night planned after pitch 5']],
  'bivy.settled': [
    [{ pitch: 0 }, 'settled on the ground'],
    [{ pitch: 5 }, 'settled for the night after pitch 5'],
  ],
  'bivy.left': [[{}, 'up and climbing on']],
  'plan.start': [
    [{ day: 2, start: '05:30' }, 'day 2 starts at 05:30'],
    [{ day: 1, start: 'shuttle' }, 'day 1 starts with the first shuttle'],
    [{ day: 1 }, 'day 1 starts as the others'],
  ],
  'plan.chosen': [
    [{ pitch: 5, way: 'stay' }, 'staying after pitch 5, as planned'],
    [{ pitch: 5, way: 'on' }, 'climbing on from pitch 5'],
    [{ pitch: 5, way: 'fix' }, 'fixing pitch 6, and back to sleep after 5'],
    [{ pitch: 4, way: 'dark' }, 'on in the dark from pitch 4'],
  ],
  'shuttle.set': [[{ name: 'gorge boat' }, 'timetable of the gorge boat']],
  'shuttle.removed': [[{}, 'timetable removed']],
  'schedule.set': [[{ checkpoints: [1, 2] }, 'schedule set for 2 checkpoints']],
  'cutoff.added': [[{ label: 'last boat' }, 'cutoff: last boat']],
  'cutoff.removed': [[{ id: 'c1' }, 'cutoff c1 removed']],
  'roster.added': [
    [
      { fields: { name: 'Pål', roles: ['ground', 'contact'] } },
      'Pål on the roster (ground, contact)',
    ],
  ],
  'roster.edited': [[{ id: 'mara', patch: { phone: '1', age: 3 } }, 'Mara edited: phone, age']],
  'roster.removed': [
    [{ id: 'mara' }, 'Mara left the roster'],
    [{ id: 'mara', reason: 'knee' }, 'Mara left the roster: knee'],
    [{ id: 'nobody' }, 'nobody left the roster'],
  ],
  'topo.loaded': [[{ pitches: [pitchOf(1), pitchOf(2)] }, 'topo of 2 pitches']],
  'topo.set': [[{ pitch: pitchOf(3) }, 'pitch 3 set in the topo']],
  'topo.removed': [[{ number: 6 }, 'pitch 6 taken off the topo']],
  'lead.ordered': [
    [{ rule: 'swing', people: ['mara', 'jonas'] }, 'swing leads: Mara, Jonas'],
    [{ rule: 'block', n: 3, people: ['mara', 'jonas'] }, 'block leads of 3: Mara, Jonas'],
    [{ rule: 'list', leaders: ['jonas', 'mara'], people: [] }, 'leads by list: Jonas, Mara'],
    [
      { rule: 'list', leaders: ['jonas', 'mara'], people: [], from: 'fastest' },
      'leads by fastest order: Jonas, Mara',
    ],
  ],
  'lead.assigned': [[{ pitch: 4, leader: 'mara' }, 'pitch 4 assigned to Mara']],
  'lead.cleared': [[{ pitch: 4 }, 'pitch 4 back in the rotation']],
  'lead.swapped': [
    [
      { a: 2, b: 3, leaderA: 'mara', leaderB: 'jonas' },
      'pitches 2 and 3 swapped: Jonas leads 2, Mara leads 3',
    ],
  ],
  'lead.roped': [
    [{ ropes: [['mara'], ['jonas']] }, 'ropes: Mara · Jonas'],
    [{ ropes: [] }, 'who climbs with whom: not told'],
  ],
  'rope.done': [[{ rope: 2, pitch: 3 }, 'pitch 3 done by rope 2']],
  'lead.styled': [
    [{ pitch: 3, style: 'aid' }, 'pitch 3 on aid'],
    [{ pitch: 3, style: 'free' }, 'pitch 3 free'],
    [{ pitch: 3, style: null }, 'pitch 3 as its leader chooses'],
  ],
  'lead.linked': [[{ first: 4 }, 'pitches 4 and 5 linked']],
  'lead.unlinked': [[{ first: 4 }, 'pitches 4 and 5 no longer linked']],
  'pitch.started': [
    [{ pitch: 2 }, 'pitch 2 started'],
    [{ pitch: 2, leader: 'jonas' }, 'pitch 2 started, Jonas led'],
  ],
  'pitch.fixed': [[{ pitch: 2 }, 'pitch 2 fixed']],
  'pitch.done': [
    [{ pitch: 2 }, 'pitch 2 done'],
    [{ pitch: 2, leader: 'jonas' }, 'pitch 2 done, Jonas led'],
  ],
  'pitch.break': [[{ pitch: 2, minutes: 20 }, 'break of 20 min on pitch 2']],
  'watch.promised': [[{ dueMs: 5 }, 'check-in promised']],
  'watch.nightly': [
    [{ clock: '21:00' }, 'check-in promised nightly at 21:00'],
    [{ clock: null }, 'no nightly check-in'],
  ],
  'watch.planned': [
    [
      { topoutMs: 1, downMs: 2, calloutMs: null },
      'times agreed: top-out, everyone down, call-out time',
    ],
    [{ downMs: 2 }, 'times agreed: everyone down'],
  ],
  'watch.delays': [
    [{ alertMin: 60 }, 'alarm delays set'],
    [{ person: 'dana', alertMin: 60 }, 'alarm delays for Dana set'],
  ],
  'watch.ok': [
    [{ how: 'self' }, 'all well'],
    [{ how: 'radio', words: 'on the ledge' }, '“on the ledge”'],
    [{ how: 'seen', place: 'pitch 5' }, 'all well, at pitch 5'],
    [{ how: 'seen', words: 'warm', place: 'pitch 5' }, '“warm”, at pitch 5'],
  ],
  'watch.raised': [
    [{ phase: 'due', to: ['@field'] }, 'asked after the party; told: the channel'],
    [{ phase: 'uncertainty', to: ['@field', 'dana'] }, 'uncertainty; told: the channel, Dana'],
    [{ phase: 'alert', to: [] }, 'alert; told: nobody'],
    [{ phase: 'distress', to: ['dana'] }, 'distress; told: Dana'],
  ],
  'watch.acked': [
    [{ person: 'dana' }, 'Dana has the alarm in hand'],
    [{ person: '@field' }, 'the channel has the alarm in hand'],
  ],
  'watch.called': [
    [{}, 'call-out made'],
    [{ words: 'they set off' }, 'call-out made: they set off'],
  ],
  'watch.asked': [
    [
      { drafts: [], words: ['Call-out time would move.'], plan: 0 },
      'asked for: Call-out time would move.',
    ],
  ],
  'watch.agreed': [[{ asked: 4 }, 'agreed to what was asked for in entry 4']],
  'watch.stooddown': [
    [{ call: 4 }, 'rescue service stood down'],
    [{ call: 4, words: 'all fine' }, 'rescue service stood down: all fine'],
  ],
  'watch.drill': [[{ to: 'dana' }, 'drill for Dana']],
  'watch.drilled': [[{ to: 'dana' }, 'Dana acknowledged the drill']],
  'watch.unreached': [
    [{ person: 'dana', why: 'blocked' }, 'Dana could not be reached (blocked)'],
    [
      { person: '@field', why: 'gone', next: 'dana' },
      'The channel could not be reached (gone); Dana told instead',
    ],
  ],
  'watch.details': [[{ vehicle: 'red van', gear: null }, 'sheet: vehicle, gear']],
  'watch.sheet': [
    [{ as: 'print' }, 'sheet opened (print)'],
    [
      { as: 'cap', cap: { status: 'Actual', msgType: 'Update', newest: 7 } },
      'sheet opened (cap, Update)',
    ],
  ],
  'log.struck': [
    [{ target: 'd1' }, `entry ${SEQ} struck`],
    [{ target: 'd1', why: 'misheard' }, `entry ${SEQ} struck: misheard`],
    [{ target: 'gone' }, 'entry ? struck'],
  ],
  'log.amended': [
    [{ target: 'd1', atMs: at(7, 30) }, `entry ${SEQ} amended to 07:30`],
    [
      { target: 'd1', atMs: at(7, 30), pitch: 2, leader: 'jonas' },
      `entry ${SEQ} amended to 07:30, pitch 2, Jonas led`,
    ],
  ],
  'contact.asked': [
    [{ person: 'dana', way: 'email', to: 'd@example.org' }, 'Dana asked to be contact, by e-mail'],
  ],
  'contact.answered': [
    [{ person: 'dana', way: 'dm', to: '17', answer: 'yes' }, 'Dana is contact, by direct message'],
    [
      { person: 'dana', way: 'email', to: 'd@example.org', answer: 'no' },
      'Dana is no contact, by e-mail',
    ],
  ],
  'mail.received': [
    [{ person: 'dana', words: 'ring me' }, 'mail from Dana, not understood: “ring me”'],
  ],
  'contact.device': [
    [
      { person: 'dana', to: 'x', endpoint: 'https://push.example/x', p256dh: 'k', auth: 'k' },
      'Dana turned push messages on',
    ],
  ],
  'contact.lost': [
    [
      { person: 'dana', way: 'phone', to: '+4790000000', why: 'http-422' },
      'Dana is not reached by phone: http-422',
    ],
  ],
  'contact.leaving': [[{ person: 'dana' }, 'Dana wants to be contact no more; asked back']],
  'trouble.reported': [
    [
      { who: ['mara'], condition: 'hurt', what: 'fell', how: 'self', wants: 'cope' },
      'trouble: Mara: “fell”',
    ],
    [
      { who: [], condition: 'unknown', what: 'no word', how: 'seen', wants: 'callout' },
      'trouble: somebody of the party: “no word”; call-out wanted',
    ],
  ],
  'trouble.updated': [
    [{ trouble: 't1', words: 'worse', how: 'radio' }, 'of the trouble: “worse”'],
    [
      { trouble: 't1', words: 'worse', how: 'radio', wants: 'callout' },
      'of the trouble: “worse”; call-out wanted',
    ],
  ],
  'trouble.over': [
    [{ trouble: 't1', said: 'all down', left: 'out' }, 'the trouble is over: “all down”'],
  ],
};

it('every kind is worded here', () => {
  expect(Object.keys(WORDS).sort()).toEqual([...KIND_NAMES].sort());
});

describe.each(Object.entries(WORDS))('%s', (kind, cases) => {
  it.each(cases.map(([data, words]) => [words, data] as const))('%s', (words, data) => {
    expect(kindOf(kind as KindName).say(data, state)).toBe(words);
  });
});
