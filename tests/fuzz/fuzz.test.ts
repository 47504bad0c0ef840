/**
 * A short part of `npm run fuzz`: every option of every command gets what people type and what nobody does.
 * OWASP ASVS 5.0: V2.2.1 (values within logical limits), V2.2.2 (validated where it can't be got round).
 */
import { expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { ask } from '../commands/ask.ts';
import { openDemo, text, world } from '../helpers/world.ts';
import { fuzz } from './run.ts';

test('ASVS V2.2.1, V2.2.2: no answer is a fault of ours, and none takes a second of the processor', async () => {
  const { faults, worst, ...counts } = await fuzz(240, 15);
  expect(faults).toEqual([]);
  expect(worst.ms, JSON.stringify(worst)).toBeLessThan(3000);
  // Some of it gets through: a fuzz that is always refused would try nothing.
  expect(counts.refused).toBeLessThan(counts.commands * 0.9);
});

test('ASVS V2.2.1: a time beyond every calendar is refused in words by every option that takes one', async () => {
  const w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
  const from = { user: 'local:mara', name: 'mara', channel: (await w.trip()).row.channel };
  const far = ['+99999999999999999999m', '-99999999999999999999m', '1900-01-01 00:00+14:00'];
  let tried = 0;
  for (const { name, bare, subs } of commands) {
    const all = [...(bare ? [['', bare] as const] : []), ...Object.entries(subs ?? {})];
    for (const [sub, { options }] of all) {
      for (const option of Object.keys(options)) {
        if (!['at', 'down', 'topout', 'callout', 'once', 'until', 'time', 'wait'].includes(option))
          continue;
        for (const at of far) {
          const reply = await ask(w, from, `${name} ${sub}`.trim(), { [option]: at });
          tried += 1;
          expect([name, sub, option, reply.code]).not.toContain('fault');
          expect(text(reply)).not.toMatch(/NaN|Invalid|undefined/);
        }
      }
    }
  }
  expect(tried).toBeGreaterThan(30);
  const reply = await w.say('mara', '/pitch done at:+99999999999999999999m');
  expect(text(reply)).toBe(
    'That is years away. No more than 30 days back are taken: check the unit and the date.',
  );
  await w.close();
});
