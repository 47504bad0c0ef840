import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { commands } from '../../commands/index.ts';
import type { App } from '../../src/app/app.ts';
import { LocalChannel } from '../../src/chat/local/channel.ts';
import { MAIN_CHANNEL, speaker } from '../../src/chat/local/speaker.ts';
import { type Change, type Derived, type Loaded, Records } from '../../src/record/records.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { Store } from '../../src/store/port.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { resolveLocal } from '../../src/time/zone.ts';
import { countingIds } from '../chat/fakes.ts';
import { ManualClock } from './clock.ts';

/**
 * A whole bot in a test: the real store on a real file, the real commands, the local channel and a
 * clock that stands still until it is moved. `close` removes the folder.
 */
export interface World {
  app: App;
  store: Store;
  clock: ManualClock;
  folder: string;
  /** Sets the clock: `2031-06-12 06:10` in the world's zone. */
  at(local: string): void;
  /** Somebody types a line. */
  say(who: string, line: string): Promise<Reply>;
  /** A file beside the channel, for `file:` options. */
  file(name: string, text: string): void;
  trip(): Promise<Loaded>;
  close(): Promise<void>;
}

export const ZONE = 'Europe/Oslo';

export async function world(
  options: { zone?: string; derive?: (change: Change) => Derived } = {},
): Promise<World> {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-test-'));
  const store = openSqliteStore({ path: join(folder, 'trips.db') });
  const clock = new ManualClock();
  const ids = countingIds();
  const log = pino({ level: 'silent' });
  const changed = () => {};
  const derive = options.derive ?? (() => ({ deadlines: [], notices: [] }));
  const records = new Records({ store, ids, log, derive, changed });
  const app: App = { store, clock, ids, log, commands, records, changed };
  const channel = new LocalChannel(app, () => {});
  const zone = options.zone ?? ZONE;
  const set = (local: string) => clock.set(instant(zone, local));
  set('2031-06-12 06:10');
  return {
    app,
    store,
    clock,
    folder,
    at: set,
    say(who, line) {
      const person = speaker(who);
      if (person === undefined) throw new Error(`no such speaker: ${who}`);
      return channel.say(person, line, { folder });
    },
    file: (name, text) => writeFileSync(join(folder, name), text),
    async trip() {
      const row = (await store.openTripIn(MAIN_CHANNEL)) ?? (await store.lastTripIn(MAIN_CHANNEL));
      if (row === undefined) throw new Error('no trip');
      return app.records.read(row);
    },
    async close() {
      await store.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

export function instant(zone: string, local: string): number {
  const [year, month, day, hour, minute] = local.split(/[-: ]/).map(Number) as [
    number,
    number,
    number,
    number,
    number,
  ];
  const found = resolveLocal(zone, { year, month, day, hour, minute }, 'earlier');
  if (!('atMs' in found)) throw new Error(`${local} doesn't exist in ${zone}`);
  return found.atMs;
}

/** The lines of a reply as a person would read them. */
export function text(reply: Reply): string {
  return [...reply.lines, ...(reply.after ?? [])]
    .map((line) =>
      typeof line === 'string'
        ? line
        : line.map((p) => (typeof p === 'string' ? p : 'code' in p ? p.code : p.text)).join(''),
    )
    .join('\n');
}

/** The invented topo of the demo, short: free and aid, a ledge to sleep on. */
export const TOPO = `pitch,length_m,free,aid,stance,bivy,places,rappel
1,38,5c,,ledge,none,,yes
2,42,6a+,,hanging,none,,yes
3,30,6b,A1,hanging,none,,yes
4,45,,A2,hanging,portaledge,,yes
5,35,6a,,ledge,ledge,4,yes
6,38,6b,,hanging,none,,no
7,25,5b,,hanging,none,,no
8,40,6c,,ledge,none,,yes
`;

/** Opens the trip with three climbers, ground crew and a contact. */
export async function openDemo(w: World): Promise<void> {
  w.file('harrow.csv', TOPO);
  for (const line of [
    '/trip open name:"Harrow Tower" zone:Europe/Oslo place:"Lantern Gorge" lat:62.1 lon:6.9 emergency:112',
    '/topo load file:harrow.csv',
    '/roster add name:Mara free:6c aid:A2',
    '/roster add name:Jonas free:6a+ aid:A1',
    '/roster add name:Ines free:6c aid:A3',
    '/roster add name:Greta role:ground',
    '/roster add name:Dana role:contact email:dana@example.org phone:"+47 000 00 000"',
  ]) {
    const reply = await w.say('mara', line);
    if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  }
}
