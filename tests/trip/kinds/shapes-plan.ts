import { LIMITS } from '../../../src/limits.ts';
import { pitchOf } from '../build.ts';
import { bounded, many, noted, pitch, type Shapes, text, whole } from './bounds.ts';

export const OPENING = {
  name: 'Harrow Tower',
  zone: 'Europe/Oslo',
  place: {},
  units: 'm',
  confidence: 0.9,
};
const CUTOFF = { id: 'c1', kind: 'shuttle', label: 'last boat', target: 'down', atMs: 5 };
export const TIMETABLE = {
  zone: 'Europe/Oslo',
  clock: 'wall',
  label: 'hourly',
  services: [{ weekdays: [1], added: [], removed: [], times: [3600], headways: [] }],
};
const SPELL = { fromMs: 5, toMs: 6 };
const CHECKPOINT = { pitch: 1, plannedMs: 5 };

/** The plan, the people and the wall. */
export const PLAN_SHAPES: Shapes = {
  'trip.opened': [
    bounded('name', LIMITS.nameLength, OPENING),
    [
      [
        OPENING,
        { ...OPENING, place: { name: text(60), lat: 90, lon: 180 } },
        { ...OPENING, place: { lat: -90, lon: -180 } },
        { ...OPENING, units: 'ft', confidence: 0.5 },
        { ...OPENING, confidence: 0.99, emergencyNumber: '11' },
        { ...OPENING, emergencyNumber: text(40) },
      ],
      [
        { ...OPENING, name: '   ' },
        { ...OPENING, zone: 'Mars/Base' },
        { ...OPENING, zone: undefined },
        { ...OPENING, place: { name: text(61) } },
        { ...OPENING, place: { lat: 90.1 } },
        { ...OPENING, place: { lat: -90.1 } },
        { ...OPENING, place: { lon: 180.1 } },
        { ...OPENING, place: { lon: -180.1 } },
        { ...OPENING, place: { height: 5 } },
        { ...OPENING, place: undefined },
        { ...OPENING, units: 'km' },
        { ...OPENING, confidence: 0.49 },
        { ...OPENING, confidence: 0.991 },
        { ...OPENING, emergencyNumber: '1' },
        { ...OPENING, emergencyNumber: ' 1 ' },
        { ...OPENING, emergencyNumber: text(41) },
        { ...OPENING, more: 1 },
      ],
    ],
  ],
  'trip.edited': [
    bounded('name', LIMITS.nameLength),
    [
      [{}, { units: 'ft' }, { settings: { leadLineM: 60 } }, { settings: { bagKg: null } }],
      [
        { confidence: 1 },
        { settings: { leadLineM: 19 } },
        { settings: { sails: 3 } },
        { zone: 'UTC' },
        { place: { lat: 91 } },
        { emergencyNumber: '1' },
      ],
    ],
  ],
  'trip.departed': [[[{}], [{ more: 1 }]]],
  'trip.down': [[[{}], [{ more: 1 }]]],
  'trip.closed': [[[{}], [{ more: 1 }]]],
  'rain.started': [[[{}], [{ more: 1 }]]],
  'rain.stopped': [[[{}], [{ more: 1 }]]],
  'rain.dry': [noted('said'), [[], [{}, { said: 'Greta', more: 1 }]]],
  'weather.told': [
    noted('says', { from: 'typed', spells: [] }),
    noted('text', { from: 'typed', spells: [] }),
    [
      [
        { from: 'typed', spells: [SPELL] },
        { from: 'open-meteo', spells: [{ ...SPELL, rain: 0, thunder: 1, tempC: -90 }] },
        { from: 'nws', spells: [{ ...SPELL, windKmh: 400, gustKmh: 500, tempC: 60 }] },
        { from: 'met-norway', spells: many(250, () => SPELL) },
      ],
      [
        {},
        { from: 'somewhere', spells: [] },
        { from: 'typed', spells: many(251, () => SPELL) },
        { from: 'typed', spells: [{ fromMs: 5, toMs: 5 }] },
        { from: 'typed', spells: [{ ...SPELL, rain: 1.1 }] },
        { from: 'typed', spells: [{ ...SPELL, thunder: -0.1 }] },
        { from: 'typed', spells: [{ ...SPELL, windKmh: 401 }] },
        { from: 'typed', spells: [{ ...SPELL, tempC: 61 }] },
        { from: 'typed', spells: [{ ...SPELL, more: 1 }] },
      ],
    ],
  ],
  'kit.told': [
    [
      [
        { things: [{ name: text(60), group: 'rack', amount: 10_000 }] },
        { things: many(120, () => ({ name: 'x', amount: null, brings: null, carries: text(64) })) },
        { things: [{ name: 'x', packed: true, off: false, amount: 0 }] },
      ],
      [
        {},
        { things: [] },
        { things: many(121, () => ({ name: 'x' })) },
        { things: [{ name: text(61) }] },
        { things: [{ name: 'x', group: 'sofa' }] },
        { things: [{ name: 'x', amount: -1 }] },
        { things: [{ name: 'x', amount: 10_001 }] },
        { things: [{ name: 'x', brings: '' }] },
        { things: [{ name: 'x', more: 1 }] },
      ],
    ],
  ],
  'retreat.began': [pitch(0), [[], [{}, { pitch: 1, more: 1 }]]],
  'retreat.rappelled': [pitch(0, {}, 'station'), [[], [{}, { station: 1, more: 1 }]]],
  'retreat.stopped': [
    [
      [{}, { who: ['m'] }],
      [{ more: 1 }, { who: [] }],
    ],
  ],
  'party.split': [
    [
      [{ who: ['m'] }, { who: ['m', 'j'] }],
      [{}, { who: [] }, { who: 'm' }],
    ],
  ],
  'party.joined': [
    [
      [{ who: [] }, { who: ['m', 'j'] }],
      [{}, { who: 'm' }],
    ],
  ],
  'party.out': [[[{ who: ['m'] }], [{}, { who: [] }, { who: ['m'], more: 1 }]]],
  'descent.reached': [
    [
      [{ point: 'off-top' }, { point: 'foot' }, { point: 'stop' }],
      [{}, { point: 'pub' }, { point: 'foot', more: 1 }],
    ],
  ],
  'wait.began': [
    noted('words', { why: 'other' }),
    [
      [{ why: 'weather' }, { why: 'other', untilMs: 5 }],
      [{}, { why: 'mood' }, { why: 'other', untilMs: 0.5 }, { why: 'other', more: 1 }],
    ],
  ],
  'wait.ended': [[[{}], [{ more: 1 }]]],
  'bivy.left': [[[{}], [{ more: 1 }]]],
  'shuttle.removed': [[[{}], [{ more: 1 }]]],
  'roster.added': [
    bounded('id', 40, { fields: { name: 'Mara', roles: ['climber'] } }),
    [
      [],
      [
        { id: 'm', fields: { name: 'Mara', roles: [] } },
        { id: 'm', fields: { roles: ['climber'] } },
      ],
    ],
  ],
  'roster.edited': [
    bounded('id', 40, { patch: {} }),
    [
      [
        { id: 'm', patch: { phone: null, age: null, leads: false } },
        { id: 'm', patch: { name: 'Mara', roles: ['ground', 'contact'] } },
      ],
      [
        { id: 'm', patch: { name: null } },
        { id: 'm', patch: { roles: null } },
        { id: 'm', patch: { roles: [] } },
        { id: 'm', patch: { shoe: 42 } },
        { id: 'm', patch: {}, more: 1 },
      ],
    ],
  ],
  'roster.removed': [
    bounded('id', 40),
    [
      [{ id: 'm', reason: text(300) }],
      [
        { id: 'm', reason: text(301) },
        { id: 'm', more: 1 },
      ],
    ],
  ],
  'topo.loaded': [
    [
      [
        { pitches: [pitchOf(1)] },
        { pitches: many(LIMITS.pitches, (i) => pitchOf(i + 1)), from: text(60) },
      ],
      [
        { pitches: [] },
        { pitches: many(LIMITS.pitches + 1, (i) => pitchOf(i + 1)) },
        { pitches: [pitchOf(2)] },
        { pitches: [pitchOf(1), pitchOf(3)] },
        { pitches: [pitchOf(1)], from: text(61) },
        { pitches: [pitchOf(1)], more: 1 },
      ],
    ],
  ],
  'topo.set': [
    [[{ pitch: pitchOf(80) }], [{ pitch: pitchOf(81) }, { pitch: pitchOf(1), more: 1 }, {}]],
  ],
  'topo.removed': [pitch(1, {}, 'number')],
  'lead.ordered': [
    whole('n', 1, 20, { rule: 'block', people: [] }),
    [
      [
        { rule: 'swing', people: many(LIMITS.climbers, String) },
        { rule: 'list', leaders: ['m'], people: [] },
        { rule: 'list', leaders: many(LIMITS.pitches, String), people: [], from: 'fastest' },
        { rule: 'swing', people: [text(40)] },
      ],
      [
        { rule: 'swing', people: many(LIMITS.climbers + 1, String) },
        { rule: 'swing', people: [''] },
        { rule: 'swing', people: [text(41)] },
        { rule: 'swing' },
        { rule: 'swing', people: [], n: 2 },
        { rule: 'block', n: 2, people: [], leaders: ['m'] },
        { rule: 'list', leaders: [], people: [] },
        { rule: 'list', leaders: many(LIMITS.pitches + 1, String), people: [] },
        { rule: 'list', leaders: ['m'], people: [], from: 'oldest' },
        { rule: 'list', leaders: ['m'], people: [], n: 2 },
        { rule: 'dice', people: [] },
      ],
    ],
  ],
  'lead.assigned': [
    pitch(1, { leader: 'm' }),
    bounded('leader', 40, { pitch: 1 }),
    [[], [{ pitch: 1, leader: 'm', more: 1 }]],
  ],
  'lead.cleared': [pitch(), [[], [{ pitch: 1, more: 1 }]]],
  'lead.swapped': [
    pitch(1, { b: 2, leaderA: 'm', leaderB: 'j' }, 'a'),
    pitch(1, { a: 2, leaderA: 'm', leaderB: 'j' }, 'b'),
    [
      [],
      [
        { a: 1, b: 2, leaderA: 'm' },
        { a: 1, b: 2, leaderB: 'm' },
        { a: 1, b: 2, leaderA: 'm', leaderB: 'j', more: 1 },
      ],
    ],
  ],
  'lead.roped': [
    [
      [{ ropes: [['m', 'j'], ['i']] }, { ropes: [] }],
      [{}, { ropes: [[]] }, { ropes: [['m'], ['m']] }],
    ],
  ],
  'rope.done': [
    [[{ rope: 2, pitch: 3 }], [{ rope: 1, pitch: 3 }, { rope: 2 }, { rope: 2, pitch: 0 }]],
  ],
  'lead.styled': [
    [
      [
        { pitch: 3, style: 'aid' },
        { pitch: 3, style: null },
      ],
      [{ pitch: 0, style: 'aid' }, { pitch: 3 }, { pitch: 3, style: 'both' }],
    ],
  ],
  'lead.linked': [pitch(1, {}, 'first'), [[], [{ first: 1, more: 1 }]]],
  'lead.unlinked': [pitch(1, {}, 'first'), [[], [{ first: 1, more: 1 }]]],
  'pitch.started': [pitch(), bounded('leader', 40, { pitch: 1 }), [[], [{ pitch: 1, more: 1 }]]],
  'pitch.fixed': [pitch(), [[], [{ pitch: 1, leader: 'mara' }]]],
  'pitch.done': [pitch(), bounded('leader', 40, { pitch: 1 }), [[], [{ pitch: 1, more: 1 }]]],
  'pitch.break': [
    pitch(1, { minutes: 10 }),
    whole('minutes', 1, 720, { pitch: 1 }),
    [[], [{ pitch: 1, minutes: 5, more: 1 }]],
  ],
  'bivy.planned': [pitch(0), [[], [{ pitch: 1, more: 1 }]]],
  'bivy.unplanned': [pitch(0), [[], [{ pitch: 1, more: 1 }]]],
  'plan.start': [
    whole('day', 1, 14),
    [
      [
        { day: 1, start: '05:30' },
        { day: 2, start: 'shuttle' },
      ],
      [{}, { day: 1, start: '5:30' }, { day: 1, start: 'boat' }, { day: 1, more: 1 }],
    ],
  ],
  'plan.chosen': [
    pitch(0, { way: 'fix' }),
    [
      [
        { pitch: 5, way: 'stay' },
        { pitch: 5, way: 'on' },
        { pitch: 5, way: 'dark' },
      ],
      [{ pitch: 5 }, { pitch: 5, way: 'up' }, { pitch: 5, way: 'fix', more: 1 }],
    ],
  ],
  'bivy.settled': [
    pitch(0),
    [
      [{ pitch: 1, untilMs: 5 }],
      [
        { pitch: 1, untilMs: 5.5 },
        { pitch: 1, more: 1 },
      ],
    ],
  ],
  'cutoff.added': [
    bounded('id', 20, CUTOFF),
    bounded('label', LIMITS.nameLength, CUTOFF),
    [
      [
        ...['shuttle', 'dark', 'permit', 'weather', 'own'].map((kind) => ({ ...CUTOFF, kind })),
        ...['topout', 'down', 'trailhead', { pitch: 1 }, { pitch: 80 }].map((target) => ({
          ...CUTOFF,
          target,
        })),
      ],
      [
        { ...CUTOFF, kind: 'mood' },
        { ...CUTOFF, target: 'pub' },
        { ...CUTOFF, target: { pitch: 0 } },
        { ...CUTOFF, target: { pitch: 81 } },
        { ...CUTOFF, target: { pitch: 1, more: 1 } },
        { ...CUTOFF, atMs: 5.5 },
        { ...CUTOFF, atMs: undefined },
        { ...CUTOFF, more: 1 },
      ],
    ],
  ],
  'cutoff.removed': [bounded('id', 20), [[], [{ id: 'c', more: 1 }]]],
  'shuttle.set': [
    bounded('name', LIMITS.nameLength, { timetable: TIMETABLE }),
    [
      [],
      [
        { name: '  ', timetable: TIMETABLE },
        { name: 'boat' },
        { name: 'b', timetable: TIMETABLE, more: 1 },
      ],
    ],
  ],
  'schedule.set': [
    [
      [
        { checkpoints: [CHECKPOINT], confidence: 0.5 },
        { checkpoints: many(LIMITS.pitches, () => CHECKPOINT), confidence: 0.99, trailheadMs: 5 },
        { checkpoints: [{ ...CHECKPOINT, pitch: 80, latestMs: 7 }], confidence: 0.9 },
      ],
      [
        { checkpoints: [], confidence: 0.9 },
        { checkpoints: many(LIMITS.pitches + 1, () => CHECKPOINT), confidence: 0.9 },
        { checkpoints: [CHECKPOINT], confidence: 0.49 },
        { checkpoints: [CHECKPOINT], confidence: 1 },
        { checkpoints: [CHECKPOINT] },
        { checkpoints: [{ ...CHECKPOINT, pitch: 0 }], confidence: 0.9 },
        { checkpoints: [{ ...CHECKPOINT, pitch: 81 }], confidence: 0.9 },
        { checkpoints: [{ ...CHECKPOINT, plannedMs: 0.5 }], confidence: 0.9 },
        { checkpoints: [{ ...CHECKPOINT, latestMs: 0.5 }], confidence: 0.9 },
        { checkpoints: [{ ...CHECKPOINT, more: 1 }], confidence: 0.9 },
        { checkpoints: [CHECKPOINT], confidence: 0.9, trailheadMs: 0.5 },
        { checkpoints: [CHECKPOINT], confidence: 0.9, more: 1 },
      ],
    ],
  ],
};
