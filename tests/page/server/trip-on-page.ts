import { deriveWatch } from '../../../src/alarm/derive.ts';
import type { App } from '../../../src/app/app.ts';
import { watchParts } from '../../../src/app/watch/parts.ts';
import { Watch } from '../../../src/delivery/loop.ts';
import type { Sent } from '../../../src/delivery/ports.ts';
import { createLinks } from '../../../src/page/server/links.ts';
import {
  buildPageServer,
  type PageServerSettings,
  startPageServer,
} from '../../../src/page/server/server.ts';
import { openDemo, type World, world } from '../../helpers/world.ts';

/** Late in August, when it gets dark there at night. */
export const DAY = '2031-08-23';
const NEXT_DAY = '2031-08-24';

export const TOKEN = 'a1'.repeat(20);

/** A world with a party on the wall and a page server, listening on loopback or not. */
export interface OnPage {
  w: World;
  app: App;
  trip: string;
  settings: PageServerSettings;
  /** Path of the page: `/t/TRIP/TOKEN`. */
  path: string;
  close(): Promise<void>;
}

export async function onPage(): Promise<OnPage> {
  const w = await world({ derive: deriveWatch });
  w.at(`${DAY} 06:10`);
  await openDemo(w);
  // The forecast gives way by sleeping no time at all; a clock moved by hand would never wake it.
  const clock = {
    wallMs: () => w.clock.wallMs(),
    monoMs: () => w.clock.monoMs(),
    sleep: (ms: number, signal?: AbortSignal) =>
      ms <= 0 ? Promise.resolve() : w.clock.sleep(ms, signal),
  };
  w.app.clock = clock;
  const app: App = { ...w.app };
  let made = 0;
  const links = createLinks({
    store: w.store,
    baseUrl: 'https://tagline.example.org',
    token: () => (made++ === 0 ? TOKEN : made.toString(16).padStart(40, '0')),
  });
  app.pages = links;
  const { row } = await w.trip();
  await links.make(row.id, w.clock.wallMs());
  const settings = { app, links, host: '127.0.0.1', port: 0 };
  return {
    w,
    app,
    trip: row.id,
    settings,
    path: `/t/${row.id}/${TOKEN}`,
    close: () => w.close(),
  };
}

/** Five pitches in, at half past two, with a boat to catch; `planned` freezes a schedule first, which takes a second. */
export async function climbHalfway({ w }: OnPage, planned = false): Promise<void> {
  for (const line of [
    '/trip edit descent_min:90 emergency:112',
    '/cutoff add kind:own at:"20:15" target:trailhead label:"Last boat"',
    '/cutoff add kind:dark',
    ...(planned ? ['/schedule set'] : []),
    '/trip depart',
    '/checkin plan once:18:00 nightly:21:30 down:23:00 callout:"tomorrow 06:00"',
    '/pitch start number:1 at:06:10',
  ]) {
    const reply = await w.say('mara', line);
    if (reply.refused) throw new Error(`${line}: ${JSON.stringify(reply.lines)}`);
  }
  for (const [number, at] of [
    [1, '07:20'],
    [2, '08:55'],
    [3, '10:40'],
    [4, '13:05'],
    [5, '14:22'],
  ] as const) {
    w.at(`${DAY} ${at}`);
    const reply = await w.say('greta', `/pitch done number:${number}`);
    if (reply.refused) throw new Error(JSON.stringify(reply.lines));
  }
  w.at(`${DAY} 14:32`);
}

/**
 * Nothing is heard from there on until twenty to nine: the promised word never came, and the alert
 * was told; or until the call-out time has passed.
 */
export async function goSilent({ w, app }: OnPage, pastCallOut = false): Promise<void> {
  const heard: Sent = { ok: true, receipt: 'r' };
  const ways = { channel: async () => heard, dm: async () => heard, email: async () => heard };
  const watch = new Watch(watchParts(app, { ways, owner: 'test' }));
  const ticks = ['18:01', '18:31', '20:01'].map((at) => `${DAY} ${at}`);
  for (const at of [...ticks, ...(pastCallOut ? [`${NEXT_DAY} 06:01`] : [])]) {
    w.at(at);
    await watch.tick();
  }
  w.at(pastCallOut ? `${NEXT_DAY} 06:20` : `${DAY} 20:40`);
}

export { buildPageServer, startPageServer };
