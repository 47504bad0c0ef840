/** What the pages say while posts don't reach us, and that they stop saying it. */
import { expect, onTestFinished, test } from 'vitest';
import { ownPath, visit } from './contact/visitor.ts';
import { buildPageServer, climbHalfway, onPage } from './server/trip-on-page.ts';

test('both pages say since when posts don’t reach us, at once, and no longer when they do again', async () => {
  let sinceMs: number | undefined;
  const on = await onPage(undefined, { deafSinceMs: () => sinceMs });
  onTestFinished(() => on.close());
  const server = await buildPageServer(on.settings);
  onTestFinished(() => server.close());
  await climbHalfway(on);
  const own = await ownPath(on.settings.links, on.trip, 'dana');
  const texts = () => Promise.all([on.path, own].map(async (p) => (await visit(server, p)).text));
  for (const text of await texts()) expect(text).not.toContain('not reach');
  const nowMs = on.w.clock.wallMs();
  sinceMs = nowMs - 10 * 60_000;
  const shown = await texts();
  const at = (ms: number) =>
    new Intl.DateTimeFormat('en-GB', {
      timeZone: 'Europe/Oslo',
      hour: '2-digit',
      minute: '2-digit',
    }).format(ms);
  for (const text of shown) {
    expect(text).toMatch(/not reach(?:ed)? us/);
    expect(text).toContain(at(sinceMs));
    // Silence may be ours: whoever worries rings them first.
    expect(text).toMatch(/ring|call/i);
  }
  sinceMs = undefined;
  for (const text of await texts()) expect(text).not.toContain('not reach');
  // Everybody is down: nobody waits for a post any more.
  const asked = await on.w.say('mara', '/trip down');
  if (asked.refused) await on.w.say('mara', `[${asked.buttons?.[0]?.label}]`);
  sinceMs = nowMs;
  if ((await on.w.trip()).state.downAtMs === undefined) throw new Error('not down');
  for (const text of await texts()) expect(text).not.toContain('not reach');
});
