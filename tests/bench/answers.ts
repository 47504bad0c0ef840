/**
 * What a person waits for: whole answers through the dispatcher on the real store, and how long one
 * of them keeps everybody else waiting. A trip of 30 pitches over two nights with all that binds.
 */
import { performance } from 'node:perf_hooks';
import { quickForecast } from '../../src/forecast/forecast.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import { systemClock } from '../../src/system/clock.ts';
import { openDemo, type World, world } from '../helpers/world.ts';
import type { Figure } from './order.ts';

const PITCHES = 30;
const DAY = '2031-06-12';

/** Free and aid, hanging stances, a place to sleep every sixth pitch. */
function topo(): string {
  const rows = Array.from({ length: PITCHES }, (_, i) => {
    const aid = i % 4 === 3 ? 'A2' : '';
    const free = aid === '' ? ['5c', '6a', '6b'][i % 3] : '';
    const bivy = i % 6 === 5 ? 'portaledge' : 'none';
    return `${i + 1},${30 + ((i * 7) % 20)},${free},${aid},${i % 3 === 0 ? 'ledge' : 'hanging'},${bivy}`;
  });
  return ['pitch,length_m,free,aid,stance,bivy', ...rows].join('\n');
}

async function bigTrip(): Promise<World> {
  // Turns are taken by the machine's own clock; the wall's is moved by hand.
  const { monoMs, sleep } = systemClock();
  const w = await world({
    throughClock: (clock) => ({ wallMs: () => clock.wallMs(), monoMs, sleep }),
  });
  await openDemo(w);
  w.file('big.csv', topo());
  const lines = [
    '/topo load file:big.csv',
    '/trip edit haul_bag:yes bag_kg:60 descent_km:4 descent_down:900 walk_km:11 walk_down:200',
    '/shuttle add times:"first 06:20, last 21:15, every 20 min" name:boat',
    '/bivy plan pitch:12',
    '/cutoff add kind:weather at:"sun 12:00" label:Front',
    '/cutoff add kind:permit at:"mon 12:00" target:trailhead',
    '/cutoff add kind:own at:"fri 20:00" pitch:18 label:Ledge',
    '/schedule set',
    '/trip depart',
  ];
  for (const line of lines) await must(w, 'mara', line);
  return w;
}

async function must(w: World, who: string, line: string): Promise<void> {
  const reply = await w.say(who, line);
  if (reply.refused) throw new Error(`${line}: ${JSON.stringify(reply.lines)}`);
}

/** Longest stretches without a turn of the event loop while some work runs, by wall and by processor. */
interface Blocked {
  wallMs: number;
  cpuMs: number;
}

/**
 * Turns as fast as the loop goes, and keeps the longest time between two of them. The processor's
 * time leaves out what other processes took; it counts the collector's and the compiler's threads in.
 */
async function watched<T>(work: () => Promise<T>): Promise<Blocked> {
  const longest: Blocked = { wallMs: 0, cpuMs: 0 };
  let open = true;
  let wall = performance.now();
  let cpu = process.cpuUsage();
  const measure = () => {
    const used = process.cpuUsage(cpu);
    longest.wallMs = Math.max(longest.wallMs, performance.now() - wall);
    longest.cpuMs = Math.max(longest.cpuMs, (used.user + used.system) / 1000);
    wall = performance.now();
    cpu = process.cpuUsage();
  };
  const turn = () => {
    if (!open) return;
    measure();
    setImmediate(turn);
  };
  setImmediate(turn);
  await work();
  open = false;
  measure();
  return longest;
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;
}

interface Asked {
  ms: number;
  blocked: Blocked;
}

async function ask(w: World, who: string, line: string): Promise<Asked> {
  const start = performance.now();
  let ms = 0;
  const blocked = await watched(async () => {
    await must(w, who, line);
    ms = performance.now() - start;
  });
  return { ms, blocked };
}

/** The median of the waits, and of the longest blocks: the worst of several runs is the machine's. */
async function* figures(
  name: string,
  asked: readonly Asked[],
  against: string,
): AsyncGenerator<Figure> {
  yield { name: `answers.${name}`, value: median(asked.map((a) => a.ms)), unit: 'ms', against };
  const walls = asked.map((a) => a.blocked.wallMs);
  const cpus = asked.map((a) => a.blocked.cpuMs);
  const limit = '50 ms at most';
  yield { name: `answers.${name}.longest_block`, value: median(walls), unit: 'ms', against: limit };
  yield {
    name: `answers.${name}.longest_block.worst`,
    value: Math.max(...walls),
    unit: 'ms',
    against: `${limit}; ${Math.max(...cpus).toFixed(1)} ms by the processor's own time`,
  };
}

/** Times of whole answers on a trip of 30 pitches, and the longest block of the event loop in each. */
export async function* benchAnswers(): AsyncGenerator<Figure> {
  const w = await bigTrip();
  try {
    // The first answers of a process are compiled while they run.
    for (let i = 0; i < 3; i++) await must(w, 'mara', '/topout');
    const done: Asked[] = [];
    const line: number[] = [];
    const topout: Asked[] = [];
    for (let pitch = 1; pitch <= 12; pitch++) {
      w.at(`${DAY} ${String(7 + pitch).padStart(2, '0')}:00`);
      done.push(await ask(w, 'greta', `/pitch done number:${pitch}`));
      const { state } = await w.trip();
      const input = forecastInput(state, w.clock.wallMs());
      const start = performance.now();
      quickForecast(input);
      line.push(performance.now() - start);
      topout.push(await ask(w, 'mara', '/topout'));
    }
    yield* figures('pitch_done', done.slice(3), `${median(line).toFixed(1)} ms of it its forecast`);
    yield* figures('topout', topout.slice(3), 'a forecast, and its latest times');
    const set: Asked[] = [];
    for (let i = 0; i < 7; i++) {
      w.clock.advance(60_000);
      set.push(await ask(w, 'mara', '/schedule set'));
    }
    yield* figures('schedule_set', set.slice(1), 'the same, frozen and stored');
    const order: Asked[] = [];
    for (let i = 0; i < 5; i++) {
      w.clock.advance(60_000);
      order.push(await ask(w, 'mara', '/lead order rule:fastest'));
    }
    yield* figures('lead_order_fastest', order.slice(1), 'the order, and two forecasts');
  } finally {
    await w.close();
  }
}
