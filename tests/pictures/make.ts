/**
 * `npm run pictures`: makes the pictures the README shows, from a trip played on the real bot: the
 * picture as a chat gets it, and the pages as a phone shows them. Needs a Chromium for the second.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { drawSvg } from '../../src/page/picture/draw.ts';
import { rasterise } from '../../src/page/picture/png.ts';
import { sceneOf } from '../../src/page/picture/scene-of.ts';
import { launch, noChromium } from '../page/server/chromium.ts';
import {
  climbHalfway,
  goSilent,
  type OnPage,
  onPage,
  startPageServer,
} from '../page/server/trip-on-page.ts';

const FOLDER = join(process.cwd(), 'deploy', 'examples');
/** Readable on any screen and small enough for a repository. */
const SCALE = 1.5;

async function picture({ w, app }: OnPage): Promise<Uint8Array> {
  const { state } = await w.trip();
  const nowMs = w.clock.wallMs();
  const scene = sceneOf(state, await forecastOf(app, state, nowMs), nowMs);
  return await rasterise(drawSvg(scene), SCALE);
}

/** What of a page is shown: from its head to the end of this. */
const [PICTURE, ALARM] = ['figure', '.alarm'];
/** And so much below it, CSS pixels. */
const BELOW = 12;

async function shown(
  { settings }: OnPage,
  path: string,
  look: { to: string; colorScheme: 'light' | 'dark' },
): Promise<Uint8Array> {
  const { to, colorScheme } = look;
  const server = await startPageServer(settings);
  const browser = await launch();
  try {
    const viewport = { width: 390, height: 844 };
    const visitor = await browser.newPage({ viewport, colorScheme, deviceScaleFactor: 1 });
    await visitor.goto(server.url + path, { waitUntil: 'networkidle' });
    const box = await visitor.locator(to).first().boundingBox();
    if (box === null) throw new Error(`no ${to} on ${path}`);
    const height = Math.ceil(box.y + box.height) + BELOW;
    return await visitor.screenshot({ fullPage: true, clip: { x: 0, y: 0, width: 390, height } });
  } finally {
    await browser.close();
    await server.close();
  }
}

function keep(name: string, bytes: Uint8Array): void {
  writeFileSync(join(FOLDER, name), bytes);
  process.stdout.write(`${name}: ${Math.ceil(bytes.length / 1000)} kB\n`);
}

mkdirSync(FOLDER, { recursive: true });
const trip = await onPage();
try {
  await climbHalfway(trip, true);
  keep('picture.png', await picture(trip));
  const without = noChromium();
  if (without === undefined) {
    keep('page.png', await shown(trip, trip.path, { to: PICTURE, colorScheme: 'light' }));
    await goSilent(trip, true);
    const own = new URL(await trip.settings.links.own(trip.trip, 'dana')).pathname;
    for (const colorScheme of ['light', 'dark'] as const) {
      keep(`contact-${colorScheme}.png`, await shown(trip, own, { to: ALARM, colorScheme }));
    }
  } else process.stdout.write(`the pages are left as they are: ${without}\n`);
} finally {
  await trip.close();
}
