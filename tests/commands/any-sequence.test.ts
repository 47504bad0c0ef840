import fc from 'fast-check';
import { expect, test } from 'vitest';
import { openDemo, text, world } from '../helpers/world.ts';
import { violations } from '../trip/checker.ts';

/** Lines a party might type, one too many of each; times within a day around noon. */
const n = fc.integer({ min: 1, max: 9 });
const who = fc.constantFrom('mara', 'jonas', 'ines', 'greta', 'dana', 'stray', 'none');
/** Mostly the two who post; now and then anybody. */
const speakers = fc.oneof({ weight: 5, arbitrary: fc.constantFrom('mara', 'greta') }, who);
const clock = fc
  .tuple(fc.integer({ min: 5, max: 13 }), fc.constantFrom('00', '15', '30', '45'))
  .map(([h, m]) => `${String(h).padStart(2, '0')}:${m}`);
const maybe = (arb: fc.Arbitrary<string>) => fc.option(arb, { nil: '' });
const line = (...parts: fc.Arbitrary<string>[]) =>
  fc.tuple(...parts).map((words) => words.filter((word) => word !== '').join(' '));
const word = (text: string) => fc.constant(text);
const mark = fc.constantFrom('start', 'fixed', 'done', 'done', 'done');

const LINES = fc.oneof(
  {
    weight: 8,
    arbitrary: line(
      mark.map((m) => `/pitch ${m}`),
      maybe(n.map((x) => `number:${x}`)),
      maybe(clock.map((c) => `at:${c}`)),
      maybe(who.map((x) => `leader:${x}`)),
    ),
  },
  {
    weight: 3,
    arbitrary: fc
      .constantFrom('[Undo]', '[I meant 1]', '[I meant 2]', '[I meant 3]')
      .chain((b) => fc.constantFrom(b, '[Strike those above as well]', '[Everyone is down]')),
  },
  line(
    word('/pitch amend'),
    n.map((x) => `number:${x}`),
    clock.map((c) => `at:${c}`),
  ),
  line(
    word('/pitch amend'),
    n.map((x) => `number:${x}`),
    maybe(n.map((x) => `to:${x}`)),
  ),
  line(
    word('/pitch strike'),
    fc.oneof(
      n.map((x) => `number:${x}`),
      n.map((x) => `entry:${x + 6}`),
    ),
  ),
  line(
    word('/pitch break'),
    n.map((x) => `minutes:${x * 7}`),
    clock.map((c) => `at:${c}`),
  ),
  line(
    fc.constantFrom(
      '/retreat begin',
      '/retreat rappel',
      '/retreat stop',
      '/rain start',
      '/rain stop',
    ),
    clock.map((c) => `at:${c}`),
  ),
  line(
    fc.constantFrom('/pitch break wait:open', '/pitch break wait:over', '/trip down reached:foot'),
    clock.map((c) => `at:${c}`),
  ),
  word('[It was said to be dry] dry:warden'),
  line(
    word('/lead assign'),
    n.map((x) => `pitch:${x}`),
    who.map((x) => `leader:${x}`),
  ),
  fc.constantFrom('[Assign it]', '[Swap them]'),
  line(
    word('/lead swap'),
    n.map((x) => `a:${x}`),
    n.map((x) => `b:${x}`),
  ),
  line(
    fc.constantFrom('/lead link', '/lead unlink'),
    n.map((x) => `pitch:${x}`),
  ),
  line(
    word('/roster remove'),
    who.map((x) => `who:${x}`),
  ),
  line(
    word('/roster add'),
    who.map((x) => `name:${x}`),
    fc.constantFrom('role:climber', 'role:ground'),
  ),
  line(
    word('/roster edit'),
    who.map((x) => `who:${x}`),
    fc.constantFrom('leads:no', 'leads:yes', 'role:ground', 'role:climber'),
  ),
  line(
    word('/topo edit'),
    n.map((x) => `number:${x}`),
    n.map((x) => `length:${x * 8}`),
  ),
  line(
    word('/topo remove'),
    n.map((x) => `number:${x}`),
  ),
  fc.constantFrom('/topo load file:harrow.csv', '/topo load file:short.csv'),
  fc.constantFrom('/trip edit lead_line:50', '/trip edit lead_line:90', '/trip edit units:ft'),
  line(fc.constantFrom('/trip depart', '/trip down'), maybe(clock.map((c) => `at:${c}`))),
  fc.constantFrom('/rain start at:08:00', '/rain stop at:09:00'),
);

test('no sequence of commands makes a trip that may not be, and none ends in a fault of ours', async () => {
  let told = 0;
  let lines = 0;
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(speakers, LINES), { maxLength: 40, size: 'max' }),
      async (said) => {
        const w = await world();
        try {
          await openDemo(w);
          w.file('short.csv', 'pitch,length_m\n1,30\n2,30\n3,30\n');
          w.at('2031-06-12 14:00');
          lines += said.length;
          for (const [speaker, typed] of said) {
            const reply = await w.say(speaker, typed).catch((error: Error) => {
              // A button that nobody sees is said by the channel, before any command runs.
              if (/sees no button/.test(error.message)) return undefined;
              throw error;
            });
            if (reply === undefined) continue;
            expect([typed, text(reply)]).toEqual([
              typed,
              expect.not.stringMatching(/went wrong|undefined|NaN/),
            ]);
          }
          const { history } = await w.trip();
          told += history.length - 7;
          expect(violations(history, w.clock.wallMs())).toEqual([]);
        } finally {
          await w.close();
        }
      },
    ),
    { numRuns: 25 },
  );
  // The sequences do get somewhere: one line in ten at least is recorded. Their lengths are drawn.
  expect(told).toBeGreaterThan(lines / 10);
});
