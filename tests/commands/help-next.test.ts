/** The next step that /help names, at every hour: what a cold or frightened reader needs first. */
import { describe, expect, it } from 'vitest';
import { nextSteps } from '../../commands/help/next.ts';
import { text } from '../helpers/world.ts';
import { at, done, fixed, joined, type Post, setUp, started, stateOf } from '../trip/build.ts';

const DANA = joined('dana', at(5), { name: 'Dana', roles: ['contact'], email: 'dana@example.org' });
const ROUTE = [...setUp({ pitches: 3, climbers: ['mara', 'jonas'] }), DANA];
const of = (kind: string, atMs: number, data: object = {}): Post => ({ kind, atMs, data });
const LEFT = of('trip.departed', at(6));
const help = (posts: readonly Post[], nowMs = at(12), hasPage = false) => {
  const { lines, buttons } = nextSteps(stateOf(posts), nowMs, hasPage);
  return { said: text({ lines }), buttons: buttons.map((b) => b.label) };
};
const having = (...posts: Post[]) => help([...ROUTE, ...posts]).said;

describe('before departure it names what is missing, the next thing first', () => {
  it('pitches, then climbers, then the contact', () => {
    expect(help(setUp({ pitches: 0 })).said).toContain('Next: the pitches.');
    expect(help(setUp({ pitches: 2, climbers: [] })).said).toContain('Next: who climbs.');
    expect(help(setUp({ pitches: 2 })).said).toContain('Next: who waits at home.');
  });

  it('then ropes and bag, times, the drill and the page, each until it is done', () => {
    const all = help(ROUTE, at(5), true).said;
    for (const way of [
      '/trip edit ropes:"lead 60 haul 60"',
      '/checkin plan',
      '/checkin drill',
      '/overdue link',
    ])
      expect(all).toContain(way);
    const ready = [
      ...ROUTE,
      of('trip.edited', at(5), { settings: { leadLineM: 60 }, emergencyNumber: '112' }),
      of('watch.planned', at(5), { downMs: at(20), calloutMs: at(23) }),
      of('watch.drill', at(5), { to: 'dana' }),
      of('watch.drilled', at(5), { to: 'dana' }),
    ];
    const { said } = help(ready, at(5));
    for (const way of ['lead_line', '/checkin', '/overdue link', 'emergency'])
      expect(said).not.toContain(way);
    expect(said).toContain('When you go: /trip depart');
  });
});

describe('under way it follows the mode', () => {
  const night = of('bivy.settled', at(8), { pitch: 1 });
  const retreat = of('retreat.began', at(8), { pitch: 1 });
  it.each([
    ['going in', [LEFT], '/pitch start'],
    ['climbing', [LEFT, started(1, at(7))], '/pitch done'],
    ['climbing into the night', [LEFT, started(1, at(7))], '/bivy settle'],
    ['climbing without having departed', [started(1, at(7))], '/trip depart'],
    ['settled', [LEFT, done(1, at(7)), night], '/bivy leave'],
    ['rain', [LEFT, of('rain.started', at(8))], '/rain stop'],
    ['the hold', [LEFT, of('rain.started', at(7)), of('rain.stopped', at(8))], '/rain show'],
    ['a wait', [LEFT, of('wait.began', at(8), { why: 'other' })], '/pitch break wait:over'],
    ['a retreat', [LEFT, done(1, at(7)), retreat], '/retreat rappel'],
    ['the top', [LEFT, ...[1, 2, 3].map((n) => done(n, at(6 + n)))], 'reached:"left the top"'],
    ['down', [LEFT, of('trip.down', at(9))], '/log export'],
  ] as [string, Post[], string][])('%s', (_, posts, way) => {
    expect(having(...posts)).toContain(way);
  });
});

it('after the stop time the night comes first, in the day the pitch', () => {
  const posts = [...ROUTE, LEFT, done(1, at(7))];
  const first = (nowMs: number) => help(posts, nowMs).said.split('\n')[1];
  expect(first(at(12))).toContain('/pitch done');
  // No pitch is begun after 21:00 by default.
  expect(first(at(20, 59))).toContain('/pitch done');
  for (const nowMs of [at(21), at(23, 30), at(24 + 3)]) {
    expect(first(nowMs)).toContain('/bivy settle');
  }
  expect(first(at(24 + 7))).toContain('/pitch done');
});

it('at the planned ledge it names what is asked there, and then what was chosen', () => {
  const there = [...ROUTE, of('bivy.planned', at(5), { pitch: 1 }), LEFT, done(1, at(9))];
  const first = (...posts: Post[]) => help([...there, ...posts], at(12)).said.split('\n')[1];
  const chose = (way: string) => of('plan.chosen', at(9, 10), { way, pitch: 1 });
  expect(first()).toContain('/decide');
  expect(first(chose('stay'))).toContain('/bivy settle pitch:1');
  expect(first(chose('fix'))).toContain('/pitch fixed number:2');
  expect(first(chose('fix'), fixed(2, at(11)))).toContain('/bivy settle pitch:1');
  expect(first(chose('on'))).toContain('/pitch done');
  expect(first(started(2, at(10)))).toContain('/pitch done');
  // The night is behind them: what comes next is the pitch.
  const slept = [of('bivy.settled', at(20), { pitch: 1 }), of('bivy.left', at(24 + 6))];
  expect(help([...there, ...slept], at(24 + 7)).said.split('\n')[1]).toContain('/pitch done');
});

it('settled in a hold it names the hold and the ways to choose from', () => {
  const rain = [of('rain.started', at(21)), of('rain.stopped', at(22))];
  const night = [LEFT, done(1, at(7)), of('bivy.settled', at(20), { pitch: 1 })];
  const said = help([...ROUTE, ...night, ...rain], at(24 + 6)).said;
  expect(said).toMatch(/The rock is left alone until .*\/rain show/u);
  expect(said).toContain('/decide');
  expect(help([...ROUTE, ...night, ...rain.slice(0, 1)], at(23)).said).toContain('/rain stop');
  expect(having(...night)).not.toContain('/rain');
});

describe('what stands comes first', () => {
  const overdue = [
    ...ROUTE,
    LEFT,
    of('watch.planned', at(6), { downMs: at(10) }),
    of('watch.raised', at(12), {
      phase: 'alert',
      root: 'down',
      dueMs: at(10),
      to: ['@field', 'dana'],
    }),
  ];

  it('an alarm: what was started, by whom, and We are well', () => {
    const { said, buttons } = help(overdue, at(13));
    expect(said).toMatch(
      /^An alarm stands: they were expected at 10:00\. Since 12:00: overdue; told: Dana\.\n/,
    );
    expect(buttons).toEqual(['We are well']);
    const called = help([...overdue, { ...of('watch.called', at(13)), by: 'dana' }], at(14)).said;
    expect(called).toContain('dana noted at 13:00 that the rescue service was called.');
  });

  it('to a contact: who is missing, how to answer from home, and no word of the party’s own steps', () => {
    const asDana = (posts: readonly Post[]) => {
      const state = stateOf(posts);
      const { lines, buttons } = nextSteps(state, at(13), false, 'contact');
      return { said: text({ lines }), buttons: buttons.map((b) => b.label) };
    };
    const { said, buttons } = asDana(overdue);
    expect(said).toMatch(/^No word from .+ yet: expected at 10:00\.\nLast heard /);
    expect(said).toContain('/overdue sheet');
    expect(said).not.toMatch(/you were expected|alert|uncertainty|\/pitch|\/bivy/);
    expect(buttons).toEqual(["I've got it", 'They are fine']);
  });

  it('trouble: no word of being well is offered, only the end by who knows', () => {
    const reported = of('trouble.reported', at(12, 30), {
      ...{ who: ['jonas'], condition: 'hurt', what: 'a fall', how: 'self', wants: 'callout' },
    });
    const { said, buttons } = help([...overdue, reported], at(13));
    expect(said).toMatch(/^Trouble stands:\n.+“a fall”/);
    expect(buttons).toEqual(['The trouble is over']);
    expect(said).toContain('/trouble over said:');
  });
});
