/**
 * The store that a bot in a test plays on: SQLite's file, or with `TEST_STORE=postgres` a database of its own on
 * a PostgreSQL server that is started for the process.
 */
import type { Store } from '../../src/store/port.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import type { Server } from './postgres.ts';

const ON_POSTGRES = process.env.TEST_STORE === 'postgres';
const NEW = ':memory:';

/** Started when it is first needed; ends with the process. */
const shared: { server?: Promise<Server>; urls: Map<string, Promise<string>> } = {
  urls: new Map(),
};

/** The store at `path`; two at one path are two connections to one database, two at ':memory:' are apart. */
export function testStore(path: string): Store {
  return ON_POSTGRES ? lazily(onPostgres(path)) : openSqliteStore({ path });
}

async function onPostgres(path: string): Promise<Store> {
  const known = path === NEW ? undefined : shared.urls.get(path);
  const url = known ?? newDatabase();
  if (path !== NEW) shared.urls.set(path, url);
  const { openPostgresStore } = await import('../../src/store/postgres/open.ts');
  return openPostgresStore({ url: await url });
}

async function newDatabase(): Promise<string> {
  const { postgresPrograms, startServer } = await import('./postgres.ts');
  const programs = postgresPrograms();
  if (programs === undefined) throw new Error('TEST_STORE=postgres needs a PostgreSQL server');
  shared.server ??= startServer(programs);
  return (await shared.server).database();
}

const OPERATIONS: Record<keyof Store, true> = {
  openTrip: true,
  append: true,
  answered: true,
  openTripIn: true,
  trip: true,
  openTripsOf: true,
  closedTripsOf: true,
  lastTripIn: true,
  events: true,
  sealed: true,
  openTrips: true,
  trips: true,
  tripsAbout: true,
  purge: true,
  due: true,
  claimDue: true,
  rung: true,
  nextDue: true,
  fire: true,
  claimNotices: true,
  readyNotices: true,
  recordDeliveries: true,
  notices: true,
  nextNoticeAt: true,
  releaseLeases: true,
  hold: true,
  letGo: true,
  releaseGone: true,
  changes: true,
  board: true,
  setBoard: true,
  wantedBoards: true,
  getFact: true,
  setFact: true,
  swapFact: true,
  sharedSecret: true,
  check: true,
  backup: true,
  close: true,
};

/** A store that is still being opened: whatever is asked of it waits for that. */
function lazily(opening: Promise<Store>): Store {
  opening.catch(() => undefined);
  const operations = Object.keys(OPERATIONS).map((name) => [
    name,
    async (...args: never[]) => {
      const store = await opening;
      return (store[name as keyof Store] as (...a: never[]) => unknown)(...args);
    },
  ]);
  return Object.fromEntries(operations) as Store;
}
