import type { App } from '../../../src/app/app.ts';
import { createLinks, type PageLinks } from '../../../src/page/server/links.ts';
import { openListener } from '../../../src/page/server/listener.ts';
import {
  buildPageServer,
  type PageServer,
  type PageServerSettings,
  startPageServer as startOn,
} from '../../../src/page/server/server.ts';
import type { Store } from '../../../src/store/port.ts';
import { SECRET } from '../../helpers/secret.ts';
import { openDemo, type World, type WorldOptions, world } from '../../helpers/world.ts';

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

export async function onPage(
  throughStore?: WorldOptions['throughStore'],
  around: ReturnType<NonNullable<WorldOptions['around']>> = {},
): Promise<OnPage> {
  let links: PageLinks | undefined;
  const w = await world({
    around(store) {
      links = linksOf(store);
      return { ...around, pages: links };
    },
    ...(throughStore === undefined ? {} : { throughStore }),
  });
  if (links === undefined) throw new Error('a page without links');
  w.at(`${DAY} 06:10`);
  await openDemo(w);
  const { row } = await w.trip();
  await links.make(row.id, w.clock.wallMs());
  return {
    w,
    app: w.app,
    trip: row.id,
    settings: { app: w.app, links },
    path: `/t/${row.id}/${TOKEN}`,
    close: () => w.close(),
  };
}

function linksOf(store: Store): PageLinks {
  let made = 0;
  return createLinks({
    store,
    baseUrl: 'https://tagline.example.org',
    secret: SECRET,
    token: () => (made++ === 0 ? TOKEN : made.toString(16).padStart(40, '0')),
  });
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
export async function goSilent({ w }: OnPage, pastCallOut = false): Promise<void> {
  const ticks = ['18:01', '18:31', '20:01'].map((at) => `${DAY} ${at}`);
  for (const at of [...ticks, ...(pastCallOut ? [`${NEXT_DAY} 06:01`] : [])]) {
    w.at(at);
    await w.tick();
  }
  w.at(pastCallOut ? `${NEXT_DAY} 06:20` : `${DAY} 20:40`);
}

/** The page on a free port of loopback. */
export async function startPageServer(settings: PageServerSettings): Promise<PageServer> {
  return startOn(settings, await openListener('127.0.0.1', 0));
}

export { buildPageServer };
