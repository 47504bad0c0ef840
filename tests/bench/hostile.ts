/** How long a file that somebody attaches holds one turn of the event loop, and what memory it takes. */
import { LIMITS } from '../../src/limits.ts';
import { systemReading } from '../../src/system/reading/killable.ts';
import { type Attachment, attach, type Step, threatened } from '../hostile/attach.ts';
import {
  departed,
  feedAtLimits,
  fourMegabytes,
  longTopo,
  nearlyFull,
  record,
  secondsApart,
  timetable,
} from '../hostile/files.ts';
import { MORE_BYTES, PACE_MS, paceMs, TURN_MS } from '../hostile/turns.ts';
import type { Figure } from './store.ts';

const LOOKS: readonly Step[] = [
  'trip show',
  'overdue show',
  'checkin ok',
  'topout',
  'log show',
].map((path) => [path, {}] as const);
const PICK: readonly Step[] = [
  ['shuttle pick', { stop: 'HEAD', route: 'R' }],
  ['shuttle next', {}],
];
/** The longest turn of each file is the shortest of so many tries: what else the machine did isn't the file's. */
const TRIES = 3;

const feed = (content: Uint8Array): Attachment => ({
  ...{ path: 'shuttle load', option: 'file', content, next: PICK },
});
const topo = (content: string): Attachment => ({ path: 'topo load', option: 'file', content });
const kept = (content: string, next: readonly Step[] = LOOKS): Attachment => ({
  ...{ path: 'trip open', option: 'record', content, next, opened: true },
});

function files(): Record<string, Attachment> {
  return {
    'GTFS, runs a second apart': feed(secondsApart()),
    'GTFS, runs a second apart for an hour': feed(secondsApart(0, 1, 1)),
    'GTFS, as much of everything as is read': feed(feedAtLimits()),
    'record of 1970': kept(record(departed('1970-06-01T00:00:00Z'))),
    'record, 4 MB of {}': kept(fourMegabytes('{}\n'), []),
    'record, 4 MB of open quotes': kept(fourMegabytes('"a\n'), []),
    'record, 4 MB in one row': kept(fourMegabytes('a,'), []),
    ...Object.fromEntries(
      [
        ...Object.entries({ ...LIMITS.readOfKind, ...LIMITS.readOfAsking }),
        ['cutoff.added', LIMITS.cutoffs] as const,
        ['watch.ok', 9000] as const,
      ].map(([kind, most]) => [
        `record, ${most} entries of ${kind}`,
        kept(record(nearlyFull(kind, most))),
      ]),
    ),
    'record, 1440 departures a day': kept(
      record(departed('2031-06-11T00:00:00Z', timetable(1440))),
      [['shuttle next', {}]],
    ),
    'topo, 20,000 pitches': topo(longTopo(20_000)),
    'topo, 20,000 columns': topo(`${'pitch,'.repeat(20_000)}length_m\n${'9\n'.repeat(50_000)}`),
    'topo, one open quote': topo(`"a\n${'"a\n'.repeat(80_000)}`),
  };
}

export async function* benchHostile(): AsyncGenerator<Figure> {
  // In threads of their own, as they are read where the bot runs.
  const w = await threatened(systemReading());
  try {
    yield {
      name: 'hostile, a fixed piece of work',
      value: pace(),
      unit: 'ms',
      against: `${PACE_MS}`,
    };
    for (const [name, what] of Object.entries(files())) {
      let [turnMs, moreBytes] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
      for (let i = 0; i < TRIES; i++) {
        const tried = await attach(w, what);
        if (tried.alarms === 0) throw new Error(`${name}: the other party’s alarm never went out`);
        turnMs = Math.min(turnMs, tried.turnMs);
        moreBytes = Math.min(moreBytes, tried.moreBytes);
      }
      const [turn, memory] = [Math.round(turnMs), Math.round(moreBytes / 2 ** 20)];
      yield { name: `${name}: longest turn`, value: turn, unit: 'ms', against: `${TURN_MS}` };
      yield {
        name: `${name}: memory`,
        value: memory,
        unit: 'MB',
        against: `${MORE_BYTES / 2 ** 20}`,
      };
    }
  } finally {
    await w.close();
  }
}

const pace = () => Math.round(Math.min(paceMs(), paceMs(), paceMs()));
