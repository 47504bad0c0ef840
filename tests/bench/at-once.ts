/** Many posts at the same moment, through the dispatcher on the real store: does anything else get its turn? */
import { monitorEventLoopDelay, performance } from 'node:perf_hooks';
import { pino } from 'pino';
import { dispatch } from '../../src/app/dispatch.ts';
import { systemClock } from '../../src/system/clock.ts';
import { keptForecasts } from '../../src/system/forecasting/apart.ts';
import { instant, type World, world, ZONE } from '../helpers/world.ts';
import type { Figure } from './order.ts';

const TRIPS = 50;
const POSTS = 100;
const PITCHES = 30;

/** Says something in the channel of one of the trips. */
async function say(
  w: World,
  trip: number,
  path: string,
  raw: Parameters<typeof dispatch>[3],
): Promise<void> {
  const call = {
    id: w.app.ids.event(),
    atMs: w.clock.wallMs(),
    actor: { id: 'local:mara', name: 'Mara' },
    where: { channel: `c-${trip}`, direct: false },
  };
  const reply = await dispatch(w.app, call, path, raw);
  if (reply.refused) throw new Error(`${path}: ${JSON.stringify(reply.lines)}`);
}

async function openTrip(w: World, trip: number): Promise<void> {
  const rows = Array.from({ length: PITCHES }, (_, i) =>
    [i + 1, 30 + ((i * 7) % 20), '6a', i % 4 === 3 ? 'A1' : '', 'hanging', 'none'].join(','),
  );
  const bytes = new TextEncoder().encode(
    ['pitch,length_m,free,aid,stance,bivy', ...rows].join('\n'),
  );
  const file = { name: 'topo.csv', size: bytes.length, bytes: async () => bytes };
  await say(w, trip, 'trip open', { name: `Wall ${trip}`, zone: ZONE, lat: 62.1, lon: 6.9 });
  await say(w, trip, 'topo load', { file });
  for (const name of ['Mara', 'Jonas']) await say(w, trip, 'roster add', { name });
  await say(w, trip, 'trip depart', {});
}

/** A hundred posts at once over fifty trips: how long the event loop is held meanwhile. */
export async function* benchAtOnce(): AsyncGenerator<Figure> {
  const { monoMs, sleep } = systemClock();
  const w = await world({
    throughClock: (clock) => ({ wallMs: () => clock.wallMs(), monoMs, sleep }),
    // As it ships: made in a thread.
    forecasts: keptForecasts(pino({ level: 'silent' })),
  });
  try {
    // People open their trips one a day: no rate is what is measured here.
    for (let trip = 0; trip < TRIPS; trip++) {
      w.clock.set(instant(ZONE, '2031-05-01 06:00') + trip * 86_400_000);
      await openTrip(w, trip);
    }
    w.clock.advance(3 * 3_600_000);
    const delay = monitorEventLoopDelay({ resolution: 2 });
    const start = performance.now();
    delay.enable();
    const posts = Array.from({ length: POSTS }, (_, i) =>
      say(w, i % TRIPS, 'pitch done', { number: 1 + Math.floor(i / TRIPS) }),
    );
    await Promise.all(posts);
    delay.disable();
    const allMs = performance.now() - start;
    const against = `${POSTS} posts at once over ${TRIPS} trips; 50 ms at most`;
    const name = 'at_once.loop_delay';
    yield { name: `${name}_p99`, value: delay.percentile(99) / 1e6, unit: 'ms', against };
    yield { name: `${name}_worst`, value: delay.max / 1e6, unit: 'ms', against };
    yield { name: 'at_once.all_answered', value: allMs, unit: 'ms', against: 'no bound' };
  } finally {
    await w.close();
  }
}
