import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import type { App } from '../../src/app/app.ts';
import type { KeptForecasts } from '../../src/app/forecast/kept.ts';
import { NO_PICTURES, type Pictures } from '../../src/app/pictures.ts';
import { watchParts } from '../../src/app/watch/parts.ts';
import { buildBot, buildCore, type Surroundings } from '../../src/bot.ts';
import { LocalChannel } from '../../src/chat/local/channel.ts';
import { MAIN_CHANNEL, speaker } from '../../src/chat/local/speaker.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Envelope, Sent } from '../../src/delivery/ports.ts';
import type { Loaded } from '../../src/record/records.ts';
import { bare } from '../../src/say/message.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { Store } from '../../src/store/port.ts';
import type { Clock } from '../../src/time/clock.ts';
import { resolveLocal } from '../../src/time/zone.ts';
import { countingIds } from '../chat/fakes.ts';
import { ALONE } from './bot.ts';
import { ManualClock } from './clock.ts';
import { FORECASTS } from './forecasts.ts';
import { ROOM } from './room.ts';
import { testStore } from './store.ts';

/** A message of the watch, and whom it was for. */
export interface Told {
  way: 'channel' | 'dm' | 'email' | 'push' | 'ntfy' | 'phone';
  /** The channel, or the person's name. */
  to: string;
  /** Subject and lines. */
  text: string;
  envelope: Envelope;
}

/**
 * A whole bot in a test: the real store on a real file, the real commands, the local channel, the
 * watch, and a clock that stands still until it is moved. `close` removes the folder.
 */
export interface World {
  app: App;
  store: Store;
  clock: ManualClock;
  folder: string;
  watch: Watch;
  /** What the watch has told so far, in order. */
  told: Told[];
  /** The log, a line of JSON an entry. */
  logged: string[];
  /** Sets the clock: `2031-06-12 06:10` in the world's zone. */
  at(local: string): void;
  /** Lets the watch do all there is to do now. */
  tick(): Promise<void>;
  /** Somebody types a line. */
  say(who: string, line: string): Promise<Reply>;
  /** A file beside the channel, for `file:` options. */
  file(name: string, text: string): void;
  trip(): Promise<Loaded>;
  close(): Promise<void>;
}

export interface WorldOptions {
  zone?: string;
  pictures?: Pictures;
  /** What stands around the bot, from its store; nothing unless it is said. */
  around?(store: Store): Partial<Surroundings>;
  /** The store as the bot sees it. */
  throughStore?(store: Store): Store;
  /** The clock as the bot sees it. */
  throughClock?(clock: ManualClock): Clock;
  /** Where forecasts are made and kept; those of all tests unless it is said. */
  forecasts?: KeptForecasts;
}

export const ZONE = 'Europe/Oslo';

export async function world(options: WorldOptions = {}): Promise<World> {
  const folder = mkdtempSync(join(ROOM, 'tagline-test-'));
  const file = testStore(join(folder, 'trips.db'));
  const store = options.throughStore?.(file) ?? file;
  const clock = new ManualClock();
  const zone = options.zone ?? ZONE;
  const set = (local: string) => clock.set(instant(zone, local));
  set('2031-06-12 06:10');
  const logged: string[] = [];
  const ports = {
    store,
    clock: options.throughClock?.(clock) ?? clock,
    ids: countingIds(),
    log: pino({ level: 'trace' }, { write: (line: string) => void logged.push(line) }),
  };
  const core = buildCore(ports, options.pictures ?? NO_PICTURES, options.forecasts ?? FORECASTS);
  const app = buildBot(core, { ...ALONE, ...options.around?.(store) });
  const channel = new LocalChannel(app, () => {});
  const told: Told[] = [];
  const watch = new Watch(watchParts(app, { ways: collecting(told), owner: 'test/1/1' }));
  return {
    app,
    store,
    clock,
    folder,
    watch,
    told,
    logged,
    at: set,
    tick: () => watch.tick(),
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

/** Ways that keep what they are given, and always arrive. */
function collecting(told: Told[]) {
  const take = async (way: Told['way'], to: string, envelope: Envelope): Promise<Sent> => {
    const { subject, lines } = envelope.message;
    told.push({ way, to, text: [subject, ...lines.map(bare)].join('\n'), envelope });
    return { ok: true, receipt: `${told.length}` };
  };
  return {
    channel: (channel: string, envelope: Envelope) => take('channel', channel, envelope),
    dm: ({ name }: { name: string }, envelope: Envelope) => take('dm', name, envelope),
    email: ({ name }: { name: string }, envelope: Envelope) => take('email', name, envelope),
    push: ({ name }: { name: string }, envelope: Envelope) => take('push', name, envelope),
    ntfy: ({ name }: { name: string }, envelope: Envelope) => take('ntfy', name, envelope),
    phone: ({ name }: { name: string }, envelope: Envelope) => take('phone', name, envelope),
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

/**
 * A contact who has agreed, in one entry, as in trips of a release that didn't ask. What asks first is tested
 * with contacts of its own.
 */
async function addAgreed(w: World): Promise<void> {
  const { row } = await w.trip();
  const nowMs = w.clock.wallMs();
  const fields = {
    name: 'Dana',
    roles: ['contact' as const],
    email: 'dana@example.org',
    phone: '+47 000 00 000',
  };
  const written = await w.app.records.write({
    trip: row.id,
    key: `open-demo/${row.id}`,
    nowMs,
    by: { id: 'local:mara', name: 'Mara' },
    decide: () => [{ kind: 'roster.added', data: { id: 'dana', fields } }],
    answer: () => ({ lines: [] }),
  });
  if (written.outcome !== 'written') throw new Error(written.outcome);
}

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
  ]) {
    const reply = await w.say('mara', line);
    if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  }
  await addAgreed(w);
}
