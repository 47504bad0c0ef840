/**
 * `npm run pictures`: makes the pictures the README shows, from a trip played on the real bot: the
 * picture as a chat gets it, and the page as a phone shows it. Needs a Chromium for the second.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { drawSvg } from '../../src/page/picture/draw.ts';
import { rasterise } from '../../src/page/picture/png.ts';
import { sceneOf } from '../../src/page/picture/scene-of.ts';
import { launch, noChromium } from '../page/server/chromium.ts';
import { climbHalfway, type OnPage, onPage, startPageServer } from '../page/server/trip-on-page.ts';

const FOLDER = join(process.cwd(), 'deploy', 'examples');
/** Readable on any screen and small enough for a repository. */
const SCALE = 1.5;

async function picture({ w, app }: OnPage): Promise<Uint8Array> {
  const { state } = await w.trip();
  const nowMs = w.clock.wallMs();
  const scene = sceneOf(state, await forecastOf(app, state, nowMs), nowMs);
  return await rasterise(drawSvg(scene), SCALE);
}

async function page({ settings, path }: OnPage): Promise<Uint8Array> {
  const server = await startPageServer(settings);
  const browser = await launch();
  try {
    // As far as the key below the picture.
    const size = { width: 390, height: 826 };
    const visitor = await browser.newPage({ viewport: size, deviceScaleFactor: 1 });
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
  if (without === undefined) keep('page.png', await page(trip));
  else process.stdout.write(`page.png left as it is: ${without}\n`);
} finally {
  await trip.close();
}
