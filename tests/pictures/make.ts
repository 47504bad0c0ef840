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

/** As far as the key below the picture, and as far as what a contact answers. */
const PAGE = 826;
const OWN_PAGE = 1240;

async function shown(
  { settings }: OnPage,
  path: string,
  look: { height: number; colorScheme: 'light' | 'dark' },
): Promise<Uint8Array> {
  const { height, colorScheme } = look;
  const server = await startPageServer(settings);
  const browser = await launch();
  try {
    const viewport = { width: 390, height };
    const visitor = await browser.newPage({ viewport, colorScheme, deviceScaleFactor: 1 });
    await visitor.goto(server.url + path, { waitUntil: 'networkidle' });
    return await visitor.screenshot();
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
    keep('page.png', await shown(trip, trip.path, { height: PAGE, colorScheme: 'light' }));
    await goSilent(trip, true);
    const own = new URL(await trip.settings.links.own(trip.trip, 'dana')).pathname;
    for (const colorScheme of ['light', 'dark'] as const) {
      keep(`contact-${colorScheme}.png`, await shown(trip, own, { height: OWN_PAGE, colorScheme }));
    }
  } else process.stdout.write(`the pages are left as they are: ${without}\n`);
} finally {
  await trip.close();
}
