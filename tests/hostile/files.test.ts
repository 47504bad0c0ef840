/**
 * Nothing that somebody attaches holds the process, and no other party's alarm waits for it.
 * OWASP ASVS 5.0: V2.4.1 (no overuse of costly resources), V5.2.1 (file sizes), V5.2.3 (unpacked size and entries of an archive),
 * V2.2.1 (values within logical limits).
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { LIMITS } from '../../src/limits.ts';
import type { Reply } from '../../src/say/reply.ts';
import { ask } from '../commands/ask.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import {
  departed,
  fourMegabytes,
  longTopo,
  nearlyFull,
  record,
  secondsApart,
  timetable,
} from './files.ts';
import { held, paceMs } from './turns.ts';

/** Longest that one turn may hold the process, where `paceMs` is 20; more where the machine is slower. */
const TURN_MS = 100;
const PACE_MS = 20;
const MORE_BYTES = 200 * 2 ** 20;

let w: World;
let allowedMs = TURN_MS;
const figures: string[] = [];
beforeAll(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
  // Code is compiled when it first runs; what is measured is the work.
  await w.say('mara', '/topout');
  await held(async () => ask(w, { channel: 'warm' }, 'help'));
  allowedMs = (TURN_MS * Math.max(PACE_MS, paceMs(), paceMs())) / PACE_MS;
});
afterAll(async () => {
  await w.close();
  if (process.env.HOSTILE_FIGURES === '1') process.stdout.write(`${figures.join('\n')}\n`);
});

const MALLORY = { user: 'mallory', name: 'Mallory' };
let channels = 0;

/** Somebody in a channel of their own attaches a file, while the demo party's time runs out. */
async function attach(
  path: string,
  option: string,
  content: string | Uint8Array,
  then: readonly (readonly [path: string, options: Record<string, string>])[] = [],
  opened = false,
): Promise<Reply[]> {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const from = { ...MALLORY, channel: `hostile-${++channels}` };
  if (!opened) await ask(w, from, 'trip open', { name: 'x', zone: 'Europe/Oslo' });
  const file = {
    name: 'file',
    size: bytes.length,
    bytes: async (most: number) => {
      expect(bytes.length).toBeLessThanOrEqual(most);
      return bytes;
    },
  };
  const due = await promise();
  const measured = await held(async () => {
    const answers: Reply[] = [];
    const all = (async () => {
      answers.push(await ask(w, from, path, { [option]: file }));
      for (const [next, options] of then) {
        const who = next === 'shuttle next' ? { user: 'stray', channel: from.channel } : from;
        answers.push(await ask(w, who, next, options));
      }
    })();
    w.clock.advance(91 * 60_000);
    await w.watch.tick();
    await all;
    await w.watch.tick();
    return answers;
  });
  const alarms = w.told.slice(due.told).filter(({ text: words }) => words.includes('Harrow Tower'));
  expect([due.about, alarms.length > 0]).toEqual([due.about, true]);
  const { value, turnMs, moreBytes } = measured;
  figures.push(
    `hostile.${channels} ${path} ${bytes.length} bytes: turn ${Math.round(turnMs)} ms of ${Math.round(allowedMs)}, memory ${Math.round(moreBytes / 2 ** 20)} MB; ${text(value.at(-1) as Reply).split('\n')[0]}`,
  );
  expect(turnMs).toBeLessThan(allowedMs);
  expect(moreBytes).toBeLessThan(MORE_BYTES);
  expect(w.logged.filter((line) => line.includes('command failed'))).toEqual([]);
  return value;
}

/** The demo party promises a word in an hour and a half, under a name of its own. */
async function promise(): Promise<{ told: number; about: string }> {
  const about = `word ${channels}`;
  await w.say('mara', '/checkin ok');
  const set = await w.say('mara', `/checkin plan once:+90m about:"${about}"`);
  expect([text(set), set.refused]).toEqual([expect.any(String), undefined]);
  await w.tick();
  return { told: w.told.length, about };
}

describe('ASVS V5.2.3, V2.4.1: a GTFS feed', () => {
  const PICK = [
    ['shuttle pick', { stop: 'HEAD', route: 'R' }],
    ['shuttle next', {}],
  ] as const;

  test.each([0, 1] as const)(
    'of runs a second apart (exact_times %i) is not kept',
    async (exact) => {
      const answers = await attach('shuttle load', 'file', secondsApart(exact), PICK);
      expect(text(answers[1] as Reply)).toContain('than 1440 departures a day');
      expect(text(answers[2] as Reply)).toContain('There is no timetable yet.');
    },
  );

  test('of runs a second apart for an hour is kept as one a minute, which says the same', async () => {
    const answers = await attach('shuttle load', 'file', secondsApart(0, 1, 1), PICK);
    expect(text(answers[2] as Reply)).toMatch(
      /^Next shuttle: (\w+ )?06:00, (\w+ )?06:01, (\w+ )?06:02\./,
    );
  });
});

describe('ASVS V5.2.1, V2.2.1: a record', () => {
  const open = (content: string, then = [] as (readonly [string, Record<string, string>])[]) =>
    attach('trip open', 'record', content, then, true);
  const LOOKS = ['trip show', 'overdue show', 'checkin ok', 'topout', 'log show'].map(
    (path) => [path, {}] as const,
  );

  test.each(['0000', '1900', '1969', '2200'])(
    'of the year %s is refused in words',
    async (year) => {
      const [answer] = await open(record(departed(`${year}-06-01T00:00:00Z`)));
      expect(text(answer as Reply)).toMatch(/outside of the years 1970 to 2199|still to come/);
    },
  );

  test('that departed in 1970 and was never closed is watched like any other', async () => {
    const [answer, ...looks] = await open(record(departed('1970-06-01T00:00:00Z')), [...LOOKS]);
    expect([text(answer as Reply), answer?.refused]).toEqual([expect.any(String), undefined]);
    expect(looks).toHaveLength(LOOKS.length);
  });

  test.each([
    ['{}\n', 'more than 10000 entries'],
    ['{"a":1}\n', 'more than 10000 entries'],
    ['"a\n', 'more than 10000 rows'],
    ['a,', 'A row is too long'],
    ['a\n', 'more than 10000 rows'],
  ])('of four megabytes of %j is refused before it is worked through', async (line, why) => {
    const [answer] = await open(fourMegabytes(line));
    expect(text(answer as Reply)).toContain(why);
  });

  test.each(Object.entries(LIMITS.readOfKind))(
    'of more than enough %s is refused',
    async (kind, most) => {
      const [answer] = await open(record(nearlyFull(kind, most + 1)));
      expect(text(answer as Reply)).toContain(`${most + 1} entries of ${kind}`);
    },
  );

  test.each([
    ...Object.entries(LIMITS.readOfKind),
    ['watch.ok', 9_000],
    ['trip.edited', 4_900],
  ] as const)('with all the %s it may have is read and answers at once', async (kind, most) => {
    const [answer] = await open(record(nearlyFull(kind, most)), [...LOOKS]);
    expect([text(answer as Reply), answer?.refused]).toEqual([expect.any(String), undefined]);
  });

  test('with the fullest timetable there may be answers a stranger at once', async () => {
    const [, next] = await open(record(departed('2031-06-11T00:00:00Z', timetable(1440))), [
      ['shuttle next', {}],
    ]);
    expect(text(next as Reply)).toMatch(/^Next boat: /);
  });
});

describe('ASVS V5.2.1: a topo', () => {
  test.each([
    ['of 100,000 rows', `pitch,length_m\n${'9\n'.repeat(100_000)}`, 'more than 400 rows'],
    ['of 20,000 pitches', longTopo(20_000), 'more than 400 rows'],
    [
      'of 20,000 columns',
      `${'pitch,'.repeat(20_000)}length_m\n${'9\n'.repeat(50_000)}`,
      'more than 40 columns',
    ],
    ['of one open quotation mark', `"a\n${'"a\n'.repeat(80_000)}`, 'be read as CSV'],
  ])('%s is refused before it is worked through', async (_, content, why) => {
    const [answer] = await attach('topo load', 'file', content);
    expect(text(answer as Reply)).toContain(why);
  });
});
