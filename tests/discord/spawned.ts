import { spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import { z } from 'zod';
import type { Entry } from './journal.ts';
import type { Order } from './remote.ts';

/** A stand-in in a process of its own (process.ts), and the orders it takes. */
export interface SpawnedStand {
  apiUrl: string;
  token: string;
  /** What it has told so far, in order; nothing with `--quiet`. */
  entries: Entry[];
  /** Calls back for every entry as it comes, until the returned function is called. */
  listen(listener: (entry: Entry) => void): () => void;
  /** Resolves with the result, rejects with what was wrong. */
  order(order: Order): Promise<unknown>;
  /** Ends the process and resolves with its exit code. */
  close(): Promise<number | null>;
}

const output = z.union([
  z.object({ listening: z.object({ apiUrl: z.string(), token: z.string() }) }),
  z.object({ journal: z.custom<Entry>((e) => typeof e === 'object' && e !== null) }),
  z.object({ reply: z.number(), result: z.unknown().optional(), error: z.string().optional() }),
]);

interface Waiter {
  resolve(result: unknown): void;
  reject(error: Error): void;
}

/** `script` is the compiled process.js: plain Node 20 runs no TypeScript. */
export async function spawnStand(
  script: string,
  flags: readonly string[] = [],
): Promise<SpawnedStand> {
  const child = spawn(process.execPath, [script, ...flags], { stdio: ['pipe', 'pipe', 'inherit'] });
  const entries: Entry[] = [];
  const listeners = new Set<(entry: Entry) => void>();
  const waiters = new Map<number, Waiter>();
  const exited = new Promise<number | null>((resolve) => child.once('exit', resolve));
  let count = 0;
  const started = new Promise<{ apiUrl: string; token: string }>((resolve, reject) => {
    createInterface({ input: child.stdout }).on('line', (text) => {
      const out = output.parse(JSON.parse(text));
      if ('listening' in out) resolve(out.listening);
      else if ('journal' in out) {
        entries.push(out.journal);
        for (const listener of listeners) listener(out.journal);
      } else {
        const waiter = waiters.get(out.reply);
        waiters.delete(out.reply);
        if (out.error === undefined) waiter?.resolve(out.result);
        else waiter?.reject(new Error(out.error));
      }
    });
    child.once('error', reject);
    child.once('exit', (code) => {
      const ended = new Error(`the stand-in ended with ${code}`);
      reject(ended);
      for (const waiter of waiters.values()) waiter.reject(ended);
    });
  });
  const { apiUrl, token } = await started;
  return {
    ...{ apiUrl, token, entries },
    listen(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    order(order) {
      count += 1;
      const id = count;
      child.stdin.write(`${JSON.stringify({ id, ...order })}\n`);
      return new Promise((resolve, reject) => waiters.set(id, { resolve, reject }));
    },
    close() {
      child.stdin.end();
      return exited;
    },
  };
}
