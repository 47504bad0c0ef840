import { LIMITS } from '../../../src/limits.ts';
import { bounded, many, noted, pitch, type Shapes, text, whole } from './bounds.ts';

const RAISED = { phase: 'due', root: 'down', dueMs: 5, to: ['dana'] };

const WAY = { person: 'dana', way: 'email', to: 'dana@example.org' };
const DEVICE = { person: 'm', to: 'x', endpoint: 'https://p.example/1', p256dh: 'k', auth: 'a' };

/** What is agreed about silence, what comes of it, and what mends the record. */
const REPORT = { who: ['mara'], condition: 'hurt', what: 'fell', how: 'self', wants: 'callout' };

const BELIEF = { mean: 0, sd: 1 };
const TAKEN = {
  ...{ from: 'Harrow Tower', stages: 1, party: BELIEF, aid: BELIEF },
  ...{ haul: BELIEF, changeover: BELIEF, leaders: [] },
};

export const WATCH_SHAPES: Shapes = {
  'log.imported': [
    [
      [
        { entries: 1, chain: 'holds', head: 'x'.repeat(64) },
        { entries: 9, chain: 'broken', from: 1 },
        { entries: 9, chain: 'none' },
      ],
      [
        {},
        { entries: 0, chain: 'holds' },
        { entries: 1, chain: 'torn' },
        { entries: 1, chain: 'holds', head: 'x'.repeat(65) },
        { entries: 1, chain: 'none', more: 1 },
      ],
    ],
  ],
  'log.erased': [
    [
      [{ entries: [1] }, { entries: [] }],
      [{}, { entries: [0] }, { entries: [1.5] }],
    ],
  ],
  'pace.taken': [
    [
      [
        TAKEN,
        { ...TAKEN, class: 'first', party: { mean: -3, sd: 3 } },
        { ...TAKEN, stages: 10_000, leaders: [{ name: 'Mara', free: BELIEF, aid: BELIEF }] },
      ],
      [
        {},
        { ...TAKEN, from: '' },
        { ...TAKEN, stages: 0 },
        { ...TAKEN, class: 'slow' },
        { ...TAKEN, haul: { mean: 3.1, sd: 0 } },
        { ...TAKEN, aid: { mean: 0, sd: -1 } },
        { ...TAKEN, leaders: [{ name: '', free: BELIEF, aid: BELIEF }] },
      ],
    ],
  ],
  'trouble.reported': [
    [
      [REPORT, { ...REPORT, who: [], where: 'stance 6', needs: 'a splint' }],
      [{}, { ...REPORT, what: '' }, { ...REPORT, wants: 'beer' }, { ...REPORT, more: 1 }],
    ],
  ],
  'trouble.updated': [
    [
      [{ trouble: 't1', words: 'worse', how: 'radio' }],
      [
        { trouble: 't1', how: 'radio' },
        { trouble: '', words: 'worse', how: 'radio' },
      ],
    ],
  ],
  'trouble.over': [
    [
      [{ trouble: 't1', said: 'all down', left: 'out' }],
      [
        { trouble: 't1', left: 'out' },
        { trouble: 't1', said: 'all down', left: 'gone' },
      ],
    ],
  ],
  'contact.asked': [
    bounded('person', 40, WAY),
    bounded('to', 254, WAY),
    [
      [WAY, { ...WAY, way: 'dm' }, { ...WAY, unsent: true }],
      [{}, { ...WAY, way: 'pigeon' }, { ...WAY, unsent: false }, { ...WAY, more: 1 }],
    ],
  ],
  'contact.answered': [
    bounded('person', 40, { ...WAY, answer: 'yes' }),
    bounded('to', 254, { ...WAY, answer: 'no' }),
    [
      [
        { ...WAY, answer: 'yes' },
        { ...WAY, answer: 'no' },
      ],
      [WAY, { ...WAY, answer: 'maybe' }, { ...WAY, answer: 'yes', more: 1 }],
    ],
  ],
  'mail.received': [
    bounded('person', 40, { words: 'x' }),
    [[{ person: 'm', words: 'call me' }], [{ person: 'm' }, { person: 'm', words: ' ' }]],
  ],
  'contact.device': [
    bounded('person', 40, DEVICE),
    bounded('to', 254, DEVICE),
    bounded('endpoint', 1000, DEVICE),
    bounded('p256dh', 200, DEVICE),
    bounded('auth', 200, DEVICE),
    [[DEVICE], [{ ...DEVICE, more: 1 }]],
  ],
  'contact.lost': [
    bounded('person', 40, { ...WAY, why: 'gone' }),
    bounded('why', 60, { ...WAY }),
    [[{ ...WAY, way: 'push', why: 'gone' }], [WAY, { ...WAY, why: 'x', more: 1 }]],
  ],
  'contact.leaving': [bounded('person', 40), [[], [{ person: 'm', more: 1 }]]],
  'watch.promised': [
    noted('about', { dueMs: 5 }),
    [[{ dueMs: 5 }], [{}, { dueMs: 5.5 }, { dueMs: 5, more: 1 }]],
  ],
  'watch.nightly': [
    [
      [{ clock: '21:00' }, { clock: '00:00' }, { clock: '23:59' }, { clock: null }],
      [{}, { clock: '24:00' }, { clock: '9:00' }, { clock: '21:60' }, { clock: '21:00', more: 1 }],
    ],
  ],
  'watch.planned': [
    [
      [{}, { topoutMs: 5, downMs: null, calloutMs: 7 }, { topoutMs: null, calloutMs: null }],
      [{ topoutMs: 5.5 }, { downMs: '5' }, { calloutMs: 0.5 }, { more: 1 }],
    ],
  ],
  'watch.asked': [
    [
      [
        { drafts: [{ kind: 'trip.closed', data: {} }], words: ['closed'], plan: 0 },
        { drafts: [{ kind: 'trip.closed', data: {}, atMs: 5 }], words: ['x'], plan: 3, alarm: 7 },
      ],
      [
        { drafts: [], words: ['closed'], plan: 0 },
        { drafts: [{ kind: 'trip.closed', data: {} }], words: [], plan: 0 },
        { drafts: [{ kind: 'trip.closed', data: {} }], words: ['closed'] },
      ],
    ],
  ],
  'watch.agreed': [[[{ asked: 1 }], [{}, { asked: 0 }, { asked: 1, more: 1 }]]],
  'watch.stooddown': [noted('words', { call: 3 }), [[{ call: 3 }], [{}, { call: 0 }]]],
  'watch.delays': [
    whole('handMin', 1, 2880),
    whole('uncertaintyMin', 1, 2880),
    whole('alertMin', 1, 2880),
    bounded('person', 40),
    [[{ uncertaintyMin: null, alertMin: null }], [{ more: 1 }]],
  ],
  'watch.ok': [
    noted('words', { how: 'self' }),
    noted('place', { how: 'radio' }),
    [
      [{ how: 'seen' }, { how: 'reached' }],
      [{ how: 'dreamt' }, {}, { how: 'self', more: 1 }],
    ],
  ],
  'watch.raised': [
    bounded('root', 80, RAISED),
    [
      [
        ...['due', 'uncertainty', 'alert', 'distress'].map((phase) => ({ ...RAISED, phase })),
        { ...RAISED, to: [] },
        { ...RAISED, to: many(LIMITS.people + 1, String) },
        { ...RAISED, outage: { fromMs: 1, toMs: 2 } },
      ],
      [
        { ...RAISED, phase: 'panic' },
        { ...RAISED, dueMs: 0.5 },
        { ...RAISED, to: many(LIMITS.people + 2, String) },
        { ...RAISED, to: [''] },
        { ...RAISED, to: [text(41)] },
        { ...RAISED, outage: { fromMs: 1 } },
        { ...RAISED, outage: { fromMs: 1, toMs: 2.5 } },
        { ...RAISED, outage: { fromMs: 1, toMs: 2, more: 1 } },
        { ...RAISED, more: 1 },
      ],
    ],
  ],
  'watch.acked': [bounded('person', 40), [[], [{ person: 'm', more: 1 }]]],
  'watch.called': [noted('words'), [[{}], [{ words: '  ' }, { more: 1 }]]],
  'watch.drill': [bounded('to', 40), [[], [{ to: 'm', more: 1 }]]],
  'watch.drilled': [bounded('to', 40), [[], [{ to: 'm', more: 1 }]]],
  'watch.unreached': [
    bounded('person', 40, { why: 'no-way' }),
    bounded('next', 40, { person: 'm', why: 'no-way' }),
    bounded('why', 200, { person: 'm' }),
    [
      [{ person: 'm', why: 'x', raised: 1 }],
      [
        { person: 'm', why: 'x', raised: 0 },
        { person: 'm', why: 'x', raised: 1.5 },
        { person: 'm', why: 'x', more: 1 },
      ],
    ],
  ],
  'watch.details': [
    ...['vehicle', 'parked', 'approach', 'escape', 'gear', 'food', 'signalling', 'notes'].map(
      (field) => noted(field),
    ),
    [
      [{}, { vehicle: null, notes: null }],
      [{ colour: 'red' }, { gear: '   ' }],
    ],
  ],
  'watch.sheet': [
    [
      [
        { as: 'message' },
        { as: 'print' },
        { as: 'cap' },
        { as: 'cap', cap: { status: 'Actual', msgType: 'Cancel', newest: 7 } },
      ],
      [
        {},
        { as: 'song' },
        { as: 'cap', more: 1 },
        { as: 'cap', cap: { status: 'Actual', msgType: 'Ack', newest: 7 } },
        { as: 'cap', cap: { status: 'Actual', msgType: 'Alert', newest: -1 } },
      ],
    ],
  ],
  'log.struck': [
    bounded('target', 64),
    [
      [{ target: 'e1', why: text(300) }],
      [
        { target: 'e1', why: text(301) },
        { target: 'e1', more: 1 },
      ],
    ],
  ],
  'log.amended': [
    bounded('target', 64),
    pitch(1, { target: 'e1' }),
    bounded('leader', 40, { target: 'e1' }),
    [
      [{ target: 'e1', atMs: 5 }],
      [
        { target: 'e1', atMs: 5.5 },
        { target: 'e1', more: 1 },
      ],
    ],
  ],
};
