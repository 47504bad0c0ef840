/**
 * The stand-in in a process of its own, on the system's clock:
 *
 *     node …/process.js [--port N] [--token T] [--latency-ms N] [--heartbeat-ms N] [--quiet] [--still]
 *
 * It writes JSON Lines: first `{ "listening": { "apiUrl", "token" } }`, then `{ "journal": … }` for
 * everything that happens (not with --quiet), and `{ "reply": id, "result" | "error" }` for each order. Orders come on
 * standard input, one a line: `{ "id": 1, "do": "user", "name": "Mara" }`; see remote.ts for the
 * others. It ends when standard input does. With --still its clock stands: no answer is too late, however slow
 * the machine.
 */
import { createInterface } from 'node:readline';
import { parseArgs } from 'node:util';
import { z } from 'zod';
import { systemClock } from '../../src/system/clock.ts';
import { startStand } from './driver.ts';
import { remote } from './remote.ts';

const flags = z.object({
  port: z.coerce.number().int().min(0).max(65_535).default(0),
  token: z.string().optional(),
  'latency-ms': z.coerce.number().min(0).default(0),
  'heartbeat-ms': z.coerce.number().min(1).optional(),
  quiet: z.boolean().default(false),
  still: z.boolean().default(false),
});

const line = z.looseObject({ id: z.union([z.string(), z.number()]) });

async function main(): Promise<void> {
  const { values } = parseArgs({
    options: {
      port: { type: 'string' },
      token: { type: 'string' },
      'latency-ms': { type: 'string' },
      'heartbeat-ms': { type: 'string' },
      quiet: { type: 'boolean' },
      still: { type: 'boolean' },
    },
  });
  const { port, token, quiet, still, ...ms } = flags.parse(values);
  const { 'latency-ms': latencyMs, 'heartbeat-ms': heartbeatMs } = ms;
  const clock = systemClock();
  const startMs = clock.wallMs();
  const stand = await startStand({
    clock: still ? { wallMs: () => startMs } : clock,
    port,
    ...(token === undefined ? {} : { token }),
    ...(latencyMs === 0 ? {} : { latency: () => clock.sleep(latencyMs) }),
    ...(heartbeatMs === undefined ? {} : { heartbeatIntervalMs: heartbeatMs }),
  });
  const write = (out: object) => void process.stdout.write(`${JSON.stringify(out)}\n`);
  write({ listening: { apiUrl: stand.apiUrl, token: stand.token } });
  if (!quiet) stand.journal.listen((entry) => write({ journal: entry }));
  const perform = remote(stand);
  const answer = async (text: string): Promise<void> => {
    const { id, ...order } = line.parse(JSON.parse(text));
    try {
      write({ reply: id, result: await perform(order) });
    } catch (error) {
      write({ reply: id, error: error instanceof Error ? error.message : String(error) });
    }
  };
  // Orders run side by side: one may wait for a bot that another one is about to disturb.
  const lines = createInterface({ input: process.stdin });
  lines.on('line', (text) => {
    answer(text).catch((error: unknown) => write({ error: String(error), line: text }));
  });
  lines.on('close', () => void stand.close());
}

await main();
