/** Files are worked through where they can be put down. OWASP ASVS 5.0, V5.2.1 and V2.4.1 (files and calls that would use up a service). */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { expect, test } from 'vitest';
import type { Reading } from '../../src/app/reading.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { readingHere } from '../../src/system/reading/here.ts';
import { BUDGET, killableReading } from '../../src/system/reading/killable.ts';
import { compiledRoot } from '../helpers/compiled.ts';
import { openDemo, TOPO, text, world } from '../helpers/world.ts';
import { tempFolder } from '../store/help.ts';
import { smallFeed, zipOf } from '../timetable/gtfs/feeds.ts';

const bytes = (words: string) => new TextEncoder().encode(words);

/** Reads by a thread that does this instead. */
function threadThat(does: string, ms: number): Reading {
  const entry = join(tempFolder(), 'thread.mjs');
  writeFileSync(entry, does);
  return killableReading(pathToFileURL(entry), { ms, memoryMb: 24, atOnce: 1 });
}

/** Turns of the event loop while something goes on. */
async function turnsDuring(work: Promise<unknown>): Promise<number> {
  let [turns, running] = [0, true];
  const turn = () => {
    turns += 1;
    if (running) setImmediate(turn);
  };
  setImmediate(turn);
  await work.catch(() => undefined);
  running = false;
  return turns;
}

test('ASVS V5.2.1: a reading that never ends is put down, and the loop goes on meanwhile', async () => {
  const reading = threadThat('for (;;);', 300);
  const read = reading.readTopo(bytes(TOPO), 'm');
  expect(await turnsDuring(read)).toBeGreaterThan(100);
  await expect(read).rejects.toMatchObject({ code: 'file-costly' });
});

test('ASVS V5.2.1: so is one that takes all memory', async () => {
  const reading = threadThat(
    'const all = []; for (;;) all.push(new Array(10_000).fill(1.5));',
    60_000,
  );
  await expect(reading.listFeed(bytes('x'))).rejects.toMatchObject({ code: 'file-costly' });
});

test('a thread that fails is a fault, and whoever waited behind it is served', async () => {
  const reading = threadThat('throw new Error("torn")', 60_000);
  const both = await Promise.allSettled([
    reading.readRecord(bytes('{')),
    reading.readRecord(bytes('{')),
  ]);
  for (const one of both) expect(String((one as { reason?: unknown }).reason)).toBe('Error: torn');
});

test('ASVS V2.4.1: one party’s endless file delays nobody’s alarm, and is answered kindly', async () => {
  const reading = threadThat('for (;;);', 2_000);
  const w = await world({ around: () => ({ reading }) });
  try {
    w.file('endless.csv', TOPO);
    await openDemo({
      ...w,
      say: (who, line) =>
        line.startsWith('/topo') ? w.say(who, '/topo edit number:1 length:38') : w.say(who, line),
    });
    await w.say('mara', '/checkin plan once:07:00');
    await w.say('mara', '/trip depart');
    const loading = w.say('mara', '/topo load file:endless.csv');
    w.at('2031-06-12 09:30');
    await w.tick();
    expect(w.told.some((t) => t.to === 'Dana')).toBe(true);
    expect(text(await loading)).toContain(
      'takes more time to work through than any that is meant for this',
    );
    expect(text(await w.say('mara', '/help'))).not.toContain('went wrong');
  } finally {
    await w.close();
  }
});

test('the thread that ships reads what is read here, and refuses in the same words', async () => {
  const entry = join(await compiledRoot(), 'dist/src/reading-thread.js');
  const reading = killableReading(pathToFileURL(entry), { ...BUDGET, ms: 120_000 });
  const feed = zipOf(smallFeed({}));
  expect(await reading.readTopo(bytes(TOPO), 'm')).toEqual(
    await readingHere.readTopo(bytes(TOPO), 'm'),
  );
  expect(await reading.listFeed(feed)).toEqual(await readingHere.listFeed(feed));
  expect(await reading.listFeed(bytes('no zip'))).toEqual(
    await readingHere.listFeed(bytes('no zip')),
  );
  const refusal = (read: Reading) =>
    read.readRecord(bytes('{"seq":1}\n')).catch((error: unknown) => (error as Refusal).reply());
  expect(await refusal(reading)).toEqual(await refusal(readingHere));
  expect(await reading.readRecord(bytes('')).catch((e: unknown) => e)).toBeInstanceOf(Refusal);
});
