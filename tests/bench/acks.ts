/**
 * How soon Discord hears that a command has come in, and how soon it is answered: one, ten and a hundred posts at the same
 * moment over fifty trips, a hundred of each; beside a bare discord.js bot that only echoes, asked the same way in the same run.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import { dispatch } from '../../src/app/dispatch.ts';
import { warmUp } from '../../src/app/forecast/run.ts';
import { NO_PICTURES } from '../../src/app/pictures.ts';
import { buildBot, buildCore } from '../../src/bot.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { systemClock } from '../../src/system/clock.ts';
import { keptForecasts } from '../../src/system/forecasting/apart.ts';
import { randomIds } from '../../src/system/ids.ts';
import { createLog } from '../../src/system/log.ts';
import { type SpawnedStand, spawnStand } from '../discord/spawned.ts';
import { ALONE, startDiscord } from '../helpers/bot.ts';
import { type StartBot, startEchoBot } from './echo-bot.ts';
import type { Figure } from './store.ts';

const TRIPS = 50;
const PITCHES = 30;
const AT_ONCE = [1, 10, 100];
/** So many are asked of each: no fewer make a 99th percentile. */
const ASKED = 100;
/** Longer than the library keeps a connection open (undici's keep-alive, 4 s). */
const IDLE_MS = 5_000;

interface Place {
  user: string;
  channel: string;
  userId: string;
  channelId: string;
}

interface Times {
  ackMs: number;
  answerMs: number;
}

export async function* benchAcks(): AsyncGenerator<Figure> {
  const folder = mkdtempSync(join(tmpdir(), 'tagline-bench-'));
  try {
    const echo = await timesOf(() => startEchoBot, ['/echo', { text: 'Pitch 5 done.' }]);
    const real = await timesOf(
      (places) => realBot(join(folder, 'acks.db'), places),
      // The next one, whichever that is.
      ['/pitch done', {}],
    );
    for (const [i, n] of AT_ONCE.entries()) {
      const [ours, bare] = [real[i] as Times, echo[i] as Times];
      const name = `acks.${n}_at_once`;
      // Alone the answer itself is the acknowledgement.
      const bound = n === 1 ? 'no bound: it is the whole answer' : '1.5 × at most';
      const against = `p99 ${Math.round(bare.ackMs)} ms by a bare bot that echoes; ${bound}`;
      yield { name: `${name}.ack_per_echo`, value: ours.ackMs / bare.ackMs, unit: '×', against };
      yield { name: `${name}.ack_p99`, value: ours.ackMs, unit: 'ms', against };
      yield { name: `${name}.all_answered`, value: ours.answerMs, unit: 'ms', against: 'no bound' };
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** For each number at once: p99 of the acknowledgements, and the longest until the last was answered. */
async function timesOf(
  start: (places: Place[]) => StartBot,
  [path, options]: [path: string, options: Record<string, string>],
): Promise<Times[]> {
  const stand = await spawnStand(fileURLToPath(new URL('../discord/process.js', import.meta.url)));
  try {
    const places = await placesOf(stand);
    const bot = await start(places)(stand);
    try {
      await stand.order({ do: 'registered' });
      const out: Times[] = [];
      let asked = 0;
      // Each is asked before it counts, as of a process that has run for a minute.
      for (const n of [100, ...AT_ONCE]) {
        // Neither bot has a connection open from before, which the quicker one would.
        await systemClock().sleep(IDLE_MS);
        const from = stand.entries.length;
        let answerMs = 0;
        for (let i = 0; i < ASKED; i += n) {
          const startMs = performance.now();
          const posts = Array.from({ length: n }, () => {
            const { user, channel } = places[asked++ % TRIPS] as Place;
            return stand.order({ do: 'slash', user, channel, path, options });
          });
          await Promise.all(posts);
          answerMs = Math.max(answerMs, performance.now() - startMs);
        }
        out.push({ ackMs: ackP99(stand, from), answerMs });
      }
      return out.slice(1);
    } finally {
      await bot.close();
    }
  } finally {
    await stand.close();
  }
}

async function placesOf(stand: SpawnedStand): Promise<Place[]> {
  const people = Array.from({ length: TRIPS }, (_, i) => `Mara ${i + 1}`);
  const ids: string[] = [];
  for (const name of people) ids.push(String(await stand.order({ do: 'user', name })));
  const [owner, ...others] = people as [string, ...string[]];
  await stand.order({ do: 'guild', name: 'Lantern Gorge', members: [owner, ...others] });
  const places: Place[] = [];
  for (const [i, user] of people.entries()) {
    const channel = `wall-${i + 1}`;
    const id = await stand.order({ do: 'channel', guild: 'Lantern Gorge', name: channel });
    places.push({ user, channel, userId: ids[i] as string, channelId: String(id) });
  }
  return places;
}

function ackP99({ entries }: SpawnedStand, from: number): number {
  const asked = new Map<string, number>();
  const delays: number[] = [];
  for (const entry of entries.slice(from)) {
    if (entry.kind === 'interaction') asked.set(entry.id, entry.atMs);
    if (entry.kind !== 'ack') continue;
    const since = asked.get(entry.interactionId);
    if (since !== undefined) delays.push(entry.atMs - since);
  }
  delays.sort((a, b) => a - b);
  return delays[Math.ceil(delays.length * 0.99) - 1] as number;
}

/** The bot as it ships, with a trip of thirty pitches under way in each channel. */
function realBot(path: string, places: readonly Place[]): StartBot {
  return async ({ apiUrl, token }) => {
    const store = openSqliteStore({ path });
    const log = createLog('error');
    const clock = systemClock();
    const core = buildCore(
      { store, clock, ids: randomIds(), log },
      NO_PICTURES,
      keptForecasts(log),
    );
    const app = buildBot(core, ALONE);
    await warmUp(core);
    for (const { user, userId, channelId } of places) {
      const say = async (said: string, raw: Parameters<typeof dispatch>[3]): Promise<void> => {
        const where = { channel: channelId, direct: false };
        const actor = { id: userId, name: user };
        const call = { id: app.ids.event(), atMs: clock.wallMs(), actor, where };
        const reply = await dispatch(app, call, said, raw);
        if (reply.refused) throw new Error(`${said}: ${JSON.stringify(reply.lines)}`);
      };
      await say('trip open', { name: `Wall of ${user}`, zone: 'Europe/Oslo', lat: 62.1, lon: 6.9 });
      await say('topo load', { file: topo() });
      await say('roster add', { name: user });
      await say('trip depart', {});
    }
    const chat = await startDiscord({ app, token, apiUrl });
    return {
      async close() {
        await chat.close();
        await store.close();
      },
    };
  };
}

function topo() {
  const rows = Array.from({ length: PITCHES }, (_, i) =>
    [i + 1, 30 + ((i * 7) % 20), '6a', i % 4 === 3 ? 'A1' : '', 'hanging', 'none'].join(','),
  );
  const text = ['pitch,length_m,free,aid,stance,bivy', ...rows].join('\n');
  const bytes = new TextEncoder().encode(text);
  return { name: 'topo.csv', size: bytes.length, bytes: async () => bytes };
}
