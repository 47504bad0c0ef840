import { compile } from '../../src/forecast/compile.ts';
import { forecastInput } from '../../src/forecast/input.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { newSimulation, runSlice } from '../../src/forecast/simulate.ts';
import type { Reply } from '../../src/say/reply.ts';
import { instant, type World, world } from '../helpers/world.ts';
import { type PublishedClimb, type PublishedPitch, UNKNOWN_M } from './climbs/type.ts';

const MIN_MS = 60_000;
const NAMES = ['Mara', 'Jonas', 'Ines', 'Pål'];

/** What the forecast believed at one moment of a climb, and what came. */
export interface Moment {
  climb: PublishedClimb;
  /** Pitches done, as told; 0 before the start. */
  done: number;
  /** Share of the climb that lay behind, 0–1, by pitches. */
  share: number;
  /** Minutes from now (before the start: from the start) to the end that is told. */
  actualMin: number;
  /** The same as forecast, sorted: one for every ascent. */
  believed: Float64Array;
  /** Minutes climbed so far, and pitches left to the end told: what the plain rivals go by. */
  spentMin: number;
  left: number;
  input: ForecastInput;
}

/** What is set before a climb is played. */
export interface Setup {
  /** Figures of `/trip pace`, by name. */
  figures?: Readonly<Record<string, number>>;
  /** Whether the party says how fast it is. */
  classed?: boolean;
  /** Only the forecast before the start. */
  beforeOnly?: boolean;
}

const cell = ({ m, free, aid }: PublishedPitch, i: number) =>
  `${i + 1},${m ?? UNKNOWN_M},${free ?? ''},${aid ?? ''},ledge,none`;

function at(climb: PublishedClimb, told: string): number {
  const [, plus, clock] = /^(?:\+(\d) )?(\d\d:\d\d)$/.exec(told) as unknown as string[];
  return instant(climb.zone, `2031-${climb.day} ${clock}`) + Number(plus ?? 0) * 24 * 60 * MIN_MS;
}

async function say(w: World, line: string): Promise<Reply> {
  const reply = await w.say('mara', line);
  if (reply.refused !== undefined) throw new Error(`${line}: ${reply.lines.join(' ')}`);
  return reply;
}

/** Whoever told of no morning meant to climb on through the dark, and did. */
function push({ mornings = [] }: PublishedClimb): Record<string, number> {
  return mornings.length === 0 ? { pushMaxMin: 1440 } : {};
}

/** Opens the trip as the party would: roster, topo, leads in turn, ropes and hours. */
async function prepare(w: World, climb: PublishedClimb, { figures = {}, classed }: Setup) {
  w.clock.set(at(climb, climb.start) - 12 * 60 * MIN_MS);
  await say(w, `/trip open name:"A climb" zone:${climb.zone} lat:${climb.lat} lon:${climb.lon}`);
  w.file(
    'topo.csv',
    ['pitch,length_m,free,aid,stance,bivy', ...climb.pitches.map(cell)].join('\n'),
  );
  await say(w, '/topo load file:topo.csv');
  for (const name of NAMES.slice(0, climb.people)) await say(w, `/roster add name:${name}`);
  const { bag: hauled = false } = climb;
  const bag = `bag:${typeof hauled === 'number' ? `"${hauled} kg"` : hauled ? 'yes' : 'no'}`;
  // They meant to climb on till the end: the nights are another matter than the pace.
  const hours = `first_day:2031-${climb.day} start:${climb.start} stop:23:59 ropes:"lead 120"`;
  await say(w, `/trip edit ${bag} ${hours}`);
  await say(w, '/lead plan');
  for (const [i, pitch] of climb.pitches.entries()) {
    if (pitch.link) await say(w, `/lead link pitch:${i + 1}`);
  }
  for (const [name, value] of Object.entries({ ...push(climb), ...figures })) {
    await say(w, `/trip pace figure:${name} value:${value}`);
  }
  if (classed) await say(w, `/trip pace party:${climb.class}`);
}

async function moment(
  w: World,
  climb: PublishedClimb,
  done: number,
  nowMs: number,
): Promise<Moment> {
  const { state } = await w.trip();
  const input = forecastInput(state, nowMs);
  const compiled = compile(input);
  const sim = newSimulation(compiled, []);
  while (!runSlice(sim, 4096));
  const last = climb.told.at(-1) as { pitch: number; at: string };
  const leg = compiled.legs.findIndex((l) => l.last >= last.pitch - 1);
  const startMs = at(climb, climb.start);
  const fromMs = Math.max(nowMs, startMs);
  const column = sim.outcomes.done[leg - compiled.state.leg] as Float64Array;
  const shift = (fromMs - input.nowMs) / MIN_MS;
  return {
    climb,
    done,
    share: done / last.pitch,
    actualMin: (at(climb, last.at) - fromMs) / MIN_MS,
    believed: column.map((min) => min - shift).sort(),
    spentMin: (fromMs - startMs) / MIN_MS,
    left: last.pitch - done,
    input,
  };
}

/** Plays a climb through the commands, and looks at the forecast before the start and after every post but the last. */
export async function play(climb: PublishedClimb, setup: Setup = {}): Promise<Moment[]> {
  const w = await world({ zone: climb.zone });
  try {
    await prepare(w, climb, setup);
    const startMs = at(climb, climb.start);
    const out = [await moment(w, climb, 0, startMs - 30 * MIN_MS)];
    if (setup.beforeOnly) return out;
    w.clock.set(startMs);
    await say(w, '/pitch start number:1');
    for (const { pitch, at: when } of climb.told.slice(0, -1)) {
      w.clock.set(at(climb, when));
      await post(w, pitch);
      out.push(await moment(w, climb, pitch, at(climb, when)));
    }
    return out;
  } finally {
    await w.close();
  }
}

/** Posts a pitch as done; one that skips others is asked back, and confirmed. */
async function post(w: World, pitch: number): Promise<void> {
  const line = `/pitch done number:${pitch}`;
  const reply = await w.say('mara', line);
  if (reply.refused === undefined) return;
  const yes = reply.buttons?.find((b) => b.press.path === 'pitch done');
  if (yes === undefined) throw new Error(`${line}: ${reply.lines.join(' ')}`);
  const { state } = await w.trip();
  if (state.pitches[pitch - 1]?.done === undefined) await say(w, `[${yes.label}]`);
}
