/** Forecasts are made in a thread that can be put down, with the same words as here. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { type ForecastJob, startJob } from '../../src/forecast/jobs.ts';
import { atOnce } from '../../src/forecast/sliced.ts';
import { ForecastThread } from '../../src/system/forecasting/apart.ts';
import { bigWall } from '../forecast/fixture.ts';
import { compiledRoot } from '../helpers/compiled.ts';
import { tempFolder } from '../store/help.ts';

const silent = pino({ level: 'silent' });
const input = bigWall({ ascents: 300 });
const job: ForecastJob<'quick'> = { asked: 'quick', input };

/** Forecasts by a thread that does this instead. */
function threadThat(
  does: string,
  budget = { ms: 60_000, memoryMb: 24 },
  monoMs?: () => number,
): ForecastThread {
  const entry = join(tempFolder(), 'thread.mjs');
  writeFileSync(entry, `import { parentPort } from 'node:worker_threads';\n${does}`);
  return new ForecastThread(pathToFileURL(entry), silent, budget, monoMs);
}

test('the thread that ships says what is said here, to the last bit, and goes on after a refusal', async () => {
  const entry = join(await compiledRoot(), 'dist/src/forecast-thread.js');
  const thread = new ForecastThread(pathToFileURL(entry), silent);
  const latest: ForecastJob<'latest'> = { asked: 'latest', input, confidences: [0.5, 0.9] };
  const whole: ForecastJob<'whole'> = { asked: 'whole', input };
  expect(await thread.make(whole)).toEqual(atOnce(startJob(whole)));
  expect(await thread.make(latest)).toEqual(atOnce(startJob(latest)));
  const refused = { ...job, input: { ...input, pitches: [] } };
  for (let i = 0; i < 4; i++) expect(await thread.make(refused)).toBeUndefined();
  expect(await thread.make(job)).toEqual(atOnce(startJob(job)));
});

test('one that never ends is put down, the loop goes on meanwhile, and the next question has a new thread', async () => {
  const budget = { ms: 300, memoryMb: 24 };
  const thread = threadThat(
    `parentPort.on('message', ({ asked }) => { if (asked === 'quick') for (;;); parentPort.postMessage({ made: asked }); });`,
    budget,
  );
  let [turns, running] = [0, true];
  const turn = () => {
    turns += 1;
    if (running) setImmediate(turn);
  };
  setImmediate(turn);
  await expect(thread.make(job)).rejects.toMatchObject({ code: 'forecast-costly' });
  running = false;
  expect(turns).toBeGreaterThan(100);
  budget.ms = 60_000;
  const other = { ...input, seed: input.seed + 1 };
  expect(await thread.make({ asked: 'whole', input: other })).toBe('whole');
});

test('one that takes all memory is put down', async () => {
  const thread = threadThat(
    `parentPort.on('message', () => { const all = []; for (;;) all.push(new Array(10_000).fill(1.5)); });`,
  );
  await expect(thread.make(job)).rejects.toMatchObject({ code: 'forecast-costly' });
});

test('ASVS V2.4.1: a trip whose forecast was put down holds up the others once in ten minutes, not at every look', async () => {
  let nowMs = 0;
  const begun: string[] = [];
  const thread = threadThat(
    `parentPort.on('message', ({ asked, input }) => { if (input.seed === 7) for (;;); parentPort.postMessage({ made: asked }); });`,
    { ms: 200, memoryMb: 24 },
    () => nowMs,
  );
  const hung: ForecastJob<'quick'> = { asked: 'quick', input: { ...input, seed: 7 } };
  const putDown = async () => {
    let [turns, running] = [0, true];
    const turn = () => {
      turns += 1;
      if (running) setImmediate(turn);
    };
    setImmediate(turn);
    await expect(thread.make(hung)).rejects.toMatchObject({ code: 'forecast-costly' });
    running = false;
    // Without a thread it is refused within the turn.
    begun.push(turns > 1 ? 'thread' : 'none');
  };
  for (nowMs of [0, 1, 9 * 60_000, 10 * 60_000, 11 * 60_000]) await putDown();
  expect(begun).toEqual(['thread', 'none', 'none', 'thread', 'none']);
});

test('where no thread can be begun, nor stays, everything is made here', async () => {
  const missing = new ForecastThread(new URL('file:///nowhere/thread.js'), silent);
  const torn = threadThat('throw new Error("torn")');
  for (let i = 0; i < 5; i++) {
    expect(await missing.make(job)).toBeUndefined();
    expect(await torn.make(job)).toBeUndefined();
  }
});

test('after a thread that failed a new one is begun', async () => {
  const thread = threadThat(
    `parentPort.on('message', ({ asked }) => { if (asked === 'whole') throw new Error('torn'); parentPort.postMessage({ made: asked }); });`,
  );
  expect(await thread.make(job)).toBe('quick');
  expect(await thread.make({ asked: 'whole', input })).toBeUndefined();
  expect(await thread.make(job)).toBe('quick');
});

test('one that ends between two questions is missed by nobody', async () => {
  const thread = threadThat(
    `parentPort.on('message', ({ asked }) => { parentPort.postMessage({ made: asked }); setImmediate(() => { throw new Error('torn'); }); });`,
  );
  for (let i = 0; i < 6; i++) expect([undefined, 'quick']).toContain(await thread.make(job));
});
