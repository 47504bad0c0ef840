import { pino } from 'pino';
import type { App, Ids } from '../../src/app/app.ts';
import { Changes } from '../../src/app/changes.ts';
import { KeptForecasts } from '../../src/app/forecast/kept.ts';
import { Invitations } from '../../src/app/invitations.ts';
import { createSeals } from '../../src/app/page/seals.ts';
import { NO_PICTURES } from '../../src/app/pictures.ts';
import { WaitingFeeds } from '../../src/app/waiting-feeds.ts';
import { printableSheet } from '../../src/page/server/sheet-page.ts';
import { Records } from '../../src/record/records.ts';
import type { BoardRow, Store, TripRow } from '../../src/store/port.ts';
import type { Clock } from '../../src/time/clock.ts';
import { ALONE } from '../helpers/bot.ts';
import { type Calls, fakeCommands } from './fake-commands.ts';

/** Counts up, so that two runs say the same. */
export function countingIds(): Ids {
  let n = 0;
  const next = (prefix: string) => {
    n += 1;
    return `${prefix}${n.toString().padStart(3, '0')}`;
  };
  return { trip: () => next('trip0'), event: () => next('e'), reference: () => next('R') };
}

/** The few operations a chat asks of the store; any other one fails the test. */
export function chatStore(trips: readonly Pick<TripRow, 'id' | 'channel'>[] = []): Store {
  const facts = new Map<string, string>();
  const boards = new Map<string, BoardRow>();
  const known: Partial<Store> = {
    async openTripIn(channel) {
      return trips.find((t) => t.channel === channel) as TripRow | undefined;
    },
    async lastTripIn(channel) {
      return trips.find((t) => t.channel === channel) as TripRow | undefined;
    },
    async openTripsOf() {
      return [];
    },
    async getFact(name) {
      return facts.get(name);
    },
    async setFact(name, value) {
      if (value === undefined) facts.delete(name);
      else facts.set(name, value);
    },
    async board(trip) {
      return boards.get(trip);
    },
    async setBoard(trip, board) {
      boards.set(trip, board);
    },
  };
  return new Proxy(known, {
    get(target, name) {
      const found = target[name as keyof Store];
      if (found === undefined && name !== 'then') throw new Error(`store.${String(name)} asked`);
      return found;
    },
  }) as Store;
}

export interface FakeWorld {
  app: App;
  logged: Record<string, unknown>[];
  calls: Calls;
}

export function fakeWorld(
  clock: Clock,
  hold?: () => Promise<void>,
  store = chatStore(),
): FakeWorld {
  const calls: Calls = [];
  const logged: FakeWorld['logged'] = [];
  const log = pino({ level: 'debug' }, { write: (line: string) => logged.push(JSON.parse(line)) });
  const { secret, ...around } = ALONE;
  const app: App = {
    store,
    clock,
    ids: countingIds(),
    log,
    commands: fakeCommands(calls, hold),
    records: quietRecords(store),
    changes: new Changes(),
    forecasts: new KeptForecasts(),
    feeds: new WaitingFeeds(),
    pictures: NO_PICTURES,
    printSheet: printableSheet,
    phones: false,
    push: undefined,
    ntfy: undefined,
    ...around,
    invitations: new Invitations(store, createSeals(secret)),
    mailAddresses: undefined,
  };
  return { app, logged, calls };
}

/** Records of which nothing follows: no deadlines, no notices. */
export function quietRecords(
  store: Store,
  changed: (trip: string) => void = () => {},
  ids = countingIds(),
): Records {
  return new Records({
    store,
    log: pino({ level: 'silent' }),
    ids,
    derive: () => ({ deadlines: [], notices: [] }),
    changed,
  });
}
