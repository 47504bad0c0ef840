/**
 * How late a distress notice goes out while the mail server of many other parties hangs: measured at whoever
 * receives it, by channel, by direct message and by mail.
 */
import { join } from 'node:path';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { Story } from '../alarm/trip.ts';
import { startBot } from './bot.ts';
import type { StormParts } from './storm.ts';
import { GUILD } from './trips.ts';
import { up } from './up.ts';

/** Parties in distress, each at a moment of its own. */
const IN_DISTRESS = 20;
const HANGS = '@hang.example';
const MINUTE_MS = 60_000;

interface Party {
  trip: string;
  channel: string;
  calloutMs: number;
  address: string;
}

/** `userId` gets the direct messages of those in distress. */
export async function hangingMail(
  parts: StormParts,
  others: number,
  userId: string,
): Promise<void> {
  const { stand, mail, said, clock, folder } = parts;
  const dataDir = join(folder, 'hanging');
  mail.hangs = (address) => address.endsWith(HANGS);
  // The others fall due while the bot starts, and their contacts are mailed from then on.
  const downMs = Date.now() + MINUTE_MS + others * 40;
  const parties = await seed(parts, { dataDir, downMs, others, userId });
  const bot = await up(
    stand,
    startBot({
      ...{ apiUrl: stand.apiUrl, token: stand.token, dataDir, mailPort: mail.port },
    }),
    false,
  );
  const startedLate = Date.now() - downMs;
  const lastMs = Math.max(...parties.map((p) => p.calloutMs));
  await clock.sleep(lastMs + MINUTE_MS - Date.now());
  bot.child.kill('SIGKILL');
  await bot.ended;
  mail.hangs = () => false;
  const late = lateness(parts, parties);
  said(
    `faults.hanging_mail = ${others} parties whose mail hangs (${Math.round(startedLate / 1000)} s after their time the bot was up), ${parties.length} in distress`,
  );
  for (const [way, all] of Object.entries(late)) {
    const worst = Math.max(...all);
    const median = [...all].sort((a, b) => a - b)[Math.floor(all.length / 2)] ?? Number.NaN;
    said(
      `faults.distress_lateness_${way} = ${all.length} of ${parties.length} told, worst ${seconds(worst)} s, median ${seconds(median)} s`,
    );
    if (all.length < parties.length) throw new Error(`distress was not told to all by ${way}`);
  }
}

const seconds = (ms: number) => (ms / 1000).toFixed(1);

function lateness({ stand, mail }: StormParts, parties: readonly Party[]) {
  const by = (fits: (party: Party) => number | undefined) =>
    parties.flatMap((party) => {
      const atMs = fits(party);
      return atMs === undefined ? [] : [Math.max(0, atMs - party.calloutMs)];
    });
  const inChannel = (party: Party) =>
    stand.entries.find(
      (e) =>
        e.kind === 'message' &&
        e.channelId === party.channel &&
        e.content.includes('The call-out time has come: '),
    )?.atMs;
  const direct = (party: Party) =>
    stand.entries.find(
      (e) =>
        e.kind === 'message' &&
        // A chat's markup is escaped.
        e.content.replaceAll('\\', '').includes(`not down from ${party.trip}`),
    )?.atMs;
  return {
    channel: by(inChannel),
    direct: by(direct),
    mail: by(
      ({ address }) =>
        mail.arrived.find((m) => m.to === address && /call 112 now/u.test(m.text))?.atMs,
    ),
  };
}

interface Seed {
  dataDir: string;
  downMs: number;
  others: number;
  userId: string;
}

/** Straight into a new database: so many commands would take longer than what is measured. */
async function seed(
  { stand }: StormParts,
  { dataDir, downMs, others, userId }: Seed,
): Promise<Party[]> {
  const { mkdirSync } = await import('node:fs');
  mkdirSync(dataDir, { recursive: true });
  const store = openSqliteStore({ path: join(dataDir, 'tagline.db') });
  const parties: Party[] = [];
  const startMs = downMs - 3_600_000;
  for (let n = 0; n < others + IN_DISTRESS; n++) {
    const trip = `hang-${String(n).padStart(4, '0')}-party`;
    const channel = String(await stand.order({ do: 'channel', guild: GUILD, name: trip }));
    const inDistress = n >= others;
    const calloutMs = downMs + 4 * MINUTE_MS + (n - others) * 3_000;
    const address = inDistress ? `dana-${n}@fast.example` : `dana-${n}${HANGS}`;
    const dana = {
      name: 'Dana',
      roles: ['contact'],
      email: address,
      ...(inDistress ? { userId } : {}),
    };
    const story = new Story(trip).tell(
      { kind: 'trip.opened', data: opened(trip), told: startMs },
      { kind: 'roster.added', data: { id: 'mara', fields: { name: 'Mara', roles: ['climber'] } } },
      { kind: 'roster.added', data: { id: 'dana', fields: dana } },
      { kind: 'watch.planned', data: { downMs, ...(inDistress ? { calloutMs } : {}) } },
      { kind: 'watch.delays', data: { uncertaintyMin: 1, alertMin: 2 } },
      { kind: 'trip.departed', at: startMs },
    );
    const { events, state } = story;
    const { deadlines } = deriveWatch({ before: undefined, after: state, events, nowMs: startMs });
    await store.openTrip(
      { id: trip, channel, openedAtMs: startMs },
      {
        key: trip,
        events,
        answer: null,
        deadlines,
        members: [],
        status: 'open',
        name: trip,
        notices: [],
      },
    );
    if (inDistress) parties.push({ trip, channel, calloutMs, address });
  }
  await store.close();
  return parties;
}

const opened = (name: string) => ({
  name,
  zone: 'Europe/Oslo',
  place: { name: 'Lantern Gorge' },
  units: 'm',
  confidence: 0.9,
  emergencyNumber: '112',
});
