/** The restore that OPERATING.md tells of, done: copy while it runs, lose the file, put the copy in place, start. */
import { copyFileSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pino } from 'pino';
import { expect, onTestFinished, test } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { randomIds } from '../../src/system/ids.ts';
import { bareBot } from '../helpers/bot.ts';
import { openDemo, text, world } from '../helpers/world.ts';

test('what was posted before the copy is there, the watch goes on, and what is overdue is told', async () => {
  const w = await world();
  const elsewhere = mkdtempSync(join(tmpdir(), 'tagline-restore-'));
  onTestFinished(() => rmSync(elsewhere, { recursive: true, force: true }));
  await openDemo(w);
  await w.say('mara', '/trip depart');
  await w.say('mara', '/checkin plan down:20:00 callout:23:00');
  await w.say('mara', '/pitch done number:1');
  const { row, history } = await w.trip();
  const copy = join(elsewhere, 'copy.db');
  await w.store.backup(copy);
  expect(text(await w.say('mara', '/pitch done number:2'))).toContain('2');
  // The machine is gone, and the file with it.
  await w.close();

  const data = join(elsewhere, 'tagline.db');
  copyFileSync(copy, data);
  const store = openSqliteStore({ path: data });
  onTestFinished(() => store.close());
  const app = bareBot({
    ...{ store, clock: w.clock, ids: randomIds() },
    log: pino({ level: 'silent' }),
  });
  const told: string[] = [];
  const take = (to: string) => {
    told.push(to);
    return Promise.resolve({ ok: true, receipt: String(told.length) } as const);
  };
  const watch = new Watch(
    watchParts(app, {
      owner: 'restored/1/1',
      ways: { channel: () => take('channel'), email: ({ name }) => take(name) },
    }),
  );
  expect((await app.records.load(row.id))?.history).toEqual(history);
  w.at('2031-06-12 23:05');
  await watch.tick();
  expect(new Set(told)).toEqual(new Set(['channel', 'Dana']));
  expect((await app.records.load(row.id))?.history.at(-1)?.kind).toMatch(/^watch\./);
});
