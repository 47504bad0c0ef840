import { performance } from 'node:perf_hooks';
import fastify from 'fastify';
import { pino } from 'pino';
import { BoardKeeper } from '../../src/app/board/keeper.ts';
import type { BoardChannel } from '../../src/app/board/port.ts';
import { viewBoard } from '../../src/app/board/view.ts';
import { drawSvg } from '../../src/page/picture/draw.ts';
import { pictures } from '../../src/page/picture/pictures.ts';
import { rasterise } from '../../src/page/picture/png.ts';
import { climbHalfway, DAY, onPage, startPageServer } from '../page/server/trip-on-page.ts';
import { SCENES } from '../pictures/scenes.ts';
import type { Figure } from './store.ts';

/** What people look at: how long a picture takes and weighs, how many readers a page bears, how often a board is changed. */
export async function* benchPage(): AsyncGenerator<Figure> {
  for (const name of ['day', 'three days', 'forty pitches']) yield* benchPicture(name);
  yield* benchRequests();
  yield* benchBoard();
}

const median = (all: readonly number[]) => [...all].sort((a, b) => a - b)[all.length >> 1] ?? 0;
const round = (value: number, digits = 1) => Number(value.toFixed(digits));

async function* benchPicture(name: string): AsyncGenerator<Figure> {
  const make = SCENES[name];
  if (make === undefined) throw new Error(`no scene named ${name}`);
  const scene = make();
  const drawing: number[] = [];
  const whole: number[] = [];
  const held: number[] = [];
  let bytes = 0;
  // The first ones measure the letters and warm the code; they are left out.
  for (let i = 0; i < 25; i++) {
    const loop = watchLoop();
    const start = performance.now();
    const svg = drawSvg(scene);
    const drawn = performance.now();
    bytes = (await rasterise(svg)).length;
    const done = performance.now();
    const longestMs = await loop.stop();
    if (i < 5) continue;
    drawing.push(drawn - start);
    whole.push(done - start);
    held.push(longestMs);
  }
  yield { name: `picture, ${name}, SVG`, value: round(median(drawing)), unit: 'ms' };
  yield {
    name: `picture, ${name}, PNG`,
    value: round(median(whole)),
    unit: 'ms',
    against: '3000 ms, in which Discord wants a first answer',
  };
  yield {
    name: `picture, ${name}, event loop held at a time`,
    value: round(median(held)),
    unit: 'ms',
    against: '50 ms, after which others would notice',
  };
  yield { name: `picture, ${name}, PNG`, value: round(bytes / 1000), unit: 'kB' };
}

/** How long at most nothing else had its turn, until it is stopped. */
function watchLoop(): { stop(): Promise<number> } {
  let last = performance.now();
  let longestMs = 0;
  let on = true;
  const look = (): void => {
    const now = performance.now();
    longestMs = Math.max(longestMs, now - last);
    last = now;
    if (on) setImmediate(look);
  };
  setImmediate(look);
  return {
    async stop() {
      // One more turn: what came last was a hold of its own.
      await new Promise((resolve) => setImmediate(resolve));
      on = false;
      return longestMs;
    },
  };
}

/** Requests a second over loopback, eight at a time, beside a bare route with the same bytes. */
async function* benchRequests(): AsyncGenerator<Figure> {
  const trip = await onPage();
  await climbHalfway(trip);
  const server = await startPageServer({ ...trip.settings, perMinute: 1_000_000 });
  const url = server.url + trip.path;
  const body = await (await fetch(url)).text();
  const bare = fastify();
  bare.get('/', async (_request, reply) => reply.type('text/html').send(body));
  const bareUrl = await bare.listen({ host: '127.0.0.1', port: 0 });
  const plain = await perSecond(bareUrl, 2000);
  yield {
    name: 'page, read again within the minute',
    value: round(await perSecond(url, 2000), 0),
    unit: 'requests/s',
    against: `${round(plain, 0)} of a bare fastify route with the same bytes in the same run`,
  };
  let minute = 0;
  const anew = async () => {
    // Every request finds a new minute: forecast, picture and page are made again.
    const [hour, min] = [15 + Math.floor(minute / 60), minute % 60];
    minute += 1;
    trip.w.at(`${DAY} ${String(hour).padStart(2, '0')}:${String(min).padStart(2, '0')}`);
    await (await fetch(url)).text();
  };
  const start = performance.now();
  for (let i = 0; i < 40; i++) await anew();
  const tookS = (performance.now() - start) / 1000;
  yield { name: 'page, made anew with its forecast', value: round(40 / tookS), unit: 'requests/s' };
  await bare.close();
  await server.close();
  await trip.close();
}

async function perSecond(url: string, count: number): Promise<number> {
  const ask = async (share: number) => {
    for (let i = 0; i < share; i++) await (await fetch(url)).arrayBuffer();
  };
  await ask(50);
  const start = performance.now();
  await Promise.all(Array.from({ length: 8 }, () => ask(count / 8)));
  return count / ((performance.now() - start) / 1000);
}

/** A hundred posts in a minute on a trip with a board: real store, real forecast and picture. */
async function* benchBoard(): AsyncGenerator<Figure> {
  const trip = await onPage();
  await climbHalfway(trip);
  let edits = 0;
  const place = { channel: 'c', message: 'm' };
  const channel: BoardChannel = {
    post: async () => ({ ok: true, value: place }),
    async edit() {
      edits += 1;
      return { ok: true, value: place };
    },
    pin: async () => ({ ok: true, value: true }),
    remove: async () => ({ ok: true, value: true }),
  };
  const app = { ...trip.app, pictures };
  const keeper = new BoardKeeper({
    store: app.store,
    clock: app.clock,
    log: pino({ level: 'silent' }),
    channel,
    owner: 'bench',
    view: (id, nowMs) => viewBoard(app, id, nowMs),
  });
  await keeper.show(trip.trip);
  const start = performance.now();
  for (let i = 0; i < 100; i++) {
    await trip.w.say('greta', `/checkin ok words:"word ${i}"`);
    keeper.touch(trip.trip);
    trip.w.clock.advance(600);
    await new Promise((resolve) => setImmediate(resolve));
  }
  const tookMs = performance.now() - start;
  await keeper.close();
  await trip.close();
  yield {
    name: 'board, changes for 100 posts in a minute',
    value: edits,
    unit: 'edits',
    against: '100 posts',
  };
  yield { name: 'board, time for 100 posts with their board', value: round(tookMs, 0), unit: 'ms' };
}
