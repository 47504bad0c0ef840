/** The wall clock is set three hours ahead and two back: nothing is told too early, and nothing too late. */
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { startBot, stop } from './bot.ts';
import type { StormParts } from './storm.ts';
import { openSilent, say } from './trips.ts';
import { up } from './up.ts';

const CHANNEL = 'clock';
const HOUR_MS = 3_600_000;
/** Later than this after its minute is too late: the watch looks at least twice a minute. */
const LATE_MS = 60_000;

export async function clockJumps(parts: StormParts): Promise<void> {
  const { stand, clock, said, folder, mail, channels } = parts;
  const aheadFile = join(folder, 'ahead');
  const ahead = (ms: number) => writeFileSync(aheadFile, String(ms));
  ahead(0);
  const bot = await up(
    stand,
    startBot({
      ...{ apiUrl: stand.apiUrl, token: stand.token, dataDir: join(folder, 'clock'), aheadFile },
      mailPort: mail.port,
    }),
    true,
  );
  await openSilent(parts, CHANNEL, true);
  const plannedMs = Date.now();
  const text = await say(stand, 'Mara', CHANNEL, '/checkin plan', { down: '+3m' });
  if (!/Everyone down/u.test(text)) throw new Error(`not planned: ${text}`);
  // Whole minutes: the time that was promised lies within the minute after this.
  const dueMs = Math.floor((plannedMs + 3 * 60_000) / 60_000) * 60_000;
  // Let it hear another machine's time twice before its own goes wrong.
  await clock.sleep(8_000);
  ahead(3 * HOUR_MS);
  await clock.sleep(dueMs - 60_000 - Date.now());
  ahead(-2 * HOUR_MS);
  await clock.sleep(dueMs + LATE_MS + 60_000 - Date.now());
  ahead(0);
  await stop(bot);
  const alarms = stand.entries.flatMap((e) =>
    e.kind === 'message' &&
    /Nothing was heard\./u.test(e.content) &&
    e.channelId === channels.get(CHANNEL)
      ? [e.atMs]
      : [],
  );
  const [first = Number.POSITIVE_INFINITY] = alarms;
  const lateS = Math.round((first - dueMs) / 1000);
  said(`faults.clock_jumps = told ${alarms.length} ×, first ${lateS} s after its minute`);
  if (alarms.length !== 1 || first < dueMs || first > dueMs + LATE_MS + 60_000)
    throw new Error('a clock that was set told too early, too late or twice');
}
