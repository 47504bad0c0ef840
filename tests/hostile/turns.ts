/**
 * How long one turn of the event loop holds the process, in processor time: what a busy machine takes
 * away from us isn't counted. A turn that is cut short by a garbage collection counts with it.
 */
export interface Held {
  /** The longest turn, processor milliseconds. */
  turnMs: number;
  /** Most memory in use over what was in use before, bytes. */
  moreBytes: number;
}

/** Longest that one turn may hold the process, processor milliseconds where `paceMs` is `PACE_MS`; more where the machine is slower. */
export const TURN_MS = 100;
/** Most memory that one file may take besides. */
export const MORE_BYTES = 200 * 2 ** 20;
/** What `paceMs` gave on the machine it was chosen on. */
export const PACE_MS = 20;

type Usage = () => NodeJS.CpuUsage;
// The loop's own thread where Node tells it (24 and later), else the whole process with its helpers.
const usage: Usage =
  (process as unknown as { threadCpuUsage?: Usage }).threadCpuUsage ?? process.cpuUsage;

const cpuMs = () => {
  const { user, system } = usage.call(process);
  return (user + system) / 1000;
};

const inUse = () => {
  const { heapUsed, external } = process.memoryUsage();
  return heapUsed + external;
};

/** Runs `work` and looks at every turn of the loop meanwhile. */
export async function held<T>(work: () => Promise<T>): Promise<{ value: T } & Held> {
  const before = inUse();
  let [turnMs, most, running] = [0, before, true];
  let last = cpuMs();
  const look = () => {
    const now = cpuMs();
    turnMs = Math.max(turnMs, now - last);
    most = Math.max(most, inUse());
    last = cpuMs();
    if (running) setImmediate(look);
  };
  setImmediate(look);
  try {
    const value = await work();
    await new Promise((resolve) => setImmediate(resolve));
    return { value, turnMs, moreBytes: most - before };
  } finally {
    running = false;
  }
}

/** Processor milliseconds of a fixed piece of work. */
export function paceMs(): number {
  const started = cpuMs();
  let rows = '';
  for (let i = 0; i < 40_000; i++) rows += `${JSON.stringify({ i, s: `x${i}` })}\n`;
  let sum = 0;
  for (const row of rows.split('\n')) if (row !== '') sum += (JSON.parse(row) as { i: number }).i;
  if (sum !== (40_000 * 39_999) / 2) throw new Error('wrong sum');
  return cpuMs() - started;
}
