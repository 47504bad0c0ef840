import { mkdtempSync, rmSync } from 'node:fs';
import { createServer as createHttpServer, type IncomingHttpHeaders } from 'node:http';
import { type AddressInfo, createServer } from 'node:net';
import { join } from 'node:path';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { ScriptClock } from '../../src/chat/local/script-clock.ts';
import { type BotOnDiscord, startOnDiscord } from '../../src/run/discord.ts';
import { readSettings } from '../../src/settings.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { randomIds } from '../../src/system/ids.ts';
import { until, untilInTime } from '../chat/discord/bot.ts';
import { buttonLabels } from '../discord/compose.ts';
import { type Answer, type Stand, startStand } from '../discord/driver.ts';
import type { StandChannel, StandMessage, StandUser } from '../discord/model.ts';
import { ROOM } from '../helpers/room.ts';
import { instant, TOPO, ZONE } from '../helpers/world.ts';

/** The bot as it is run on Discord, every part wired as in earnest, on a clock that is moved by hand. */
const EDIT = 'PATCH /channels/:channel/messages/:message';
const SECOND = 1000;
const MINUTE = 60 * SECOND;

let folder: string;
let clock: ScriptClock;
let stand: Stand;
let mara: StandUser;
let greta: StandUser;
let wall: StandChannel;
let bot: BotOnDiscord;

async function start(env: Record<string, string> = {}, waiting = true): Promise<BotOnDiscord> {
  const store = openSqliteStore({ path: join(folder, 'trips.db') });
  const ports = { store, clock, ids: randomIds(), log: pino({ level: 'silent' }) };
  const settings = readSettings({
    DISCORD_API_URL: stand.apiUrl,
    TAGLINE_DATA: folder,
    TAGLINE_PAGE_URL: 'https://tagline.example.org',
    TAGLINE_PAGE_PORT: '0',
    ...env,
  });
  try {
    const running = await startOnDiscord(ports, settings, stand.token);
    if (waiting) await running.connected;
    const close = async () => {
      await running.close();
      await store.close();
    };
    return { ...running, close };
  } catch (error) {
    await store.close();
    throw error;
  }
}

beforeEach(async () => {
  folder = mkdtempSync(join(ROOM, 'tagline-run-'));
  clock = new ScriptClock(instant(ZONE, '2031-08-23 06:10'));
  stand = await startStand({ clock });
  mara = stand.addUser('Mara');
  greta = stand.addUser('Greta');
  wall = stand.addChannel(stand.addGuild('Lantern Gorge', [mara, greta]), 'harrow-tower');
  bot = await start();
  await stand.commandsRegistered();
});
afterEach(async () => {
  await bot.close();
  expect(stand.core.bugs).toEqual([]);
  await stand.close();
  rmSync(folder, { recursive: true, force: true });
});

const slash = (path: string, options = {}): Promise<Answer> =>
  stand.slash(mara, wall, path, options);
const edits = () => stand.journal.of('request').filter((r) => r.route === EDIT).length;
const pinned = () => stand.sees(mara, wall).filter((m) => m.pinnedAtMs !== undefined);

function board(): StandMessage {
  const [only, ...more] = pinned();
  if (only === undefined || more.length > 0) throw new Error(`${pinned().length} boards`);
  return only;
}

const untilSo = (so: () => boolean) => untilInTime(clock, so);

async function setUp(): Promise<void> {
  await slash('/trip open', { name: 'Harrow Tower', zone: ZONE, lat: 62.1, lon: 6.9 });
  await slash('/topo load', { file: { name: 'harrow.csv', bytes: Buffer.from(TOPO) } });
  await slash('/roster add', { name: 'Mara', free: '6c', aid: 'A2', user: mara });
  await slash('/roster add', { name: 'Greta', role: 'ground', user: greta });
  await slash('/checkin plan', { once: '10:00', callout: '20:00' });
}

/** What the page behind a link says, asked where it really listens. */
async function page(link: string): Promise<{ status: number; text: string }> {
  const answer = await fetch(link.replace('https://tagline.example.org', bot.pageUrl ?? ''));
  return { status: answer.status, text: await answer.text() };
}

async function newLink(): Promise<string> {
  const answer = await slash('/overdue link');
  expect(answer.private).toBe(true);
  return /https:\/\/tagline\.example\.org\/t\/\S+[0-9a-f]{40}/u.exec(answer.text)?.[0] ?? '';
}

describe('the bot on Discord', () => {
  it('keeps one board and the page from the first post to the erasing of the trip', async () => {
    await setUp();
    // Made before the party leaves, it must be kept up all the same.
    expect((await slash('/board')).text).toBe('The board is up to date and pinned.');
    const first = board().id;
    const link = await newLink();
    await slash('/trip depart');
    await untilSo(() => board().content.includes('Departed 06:10'));
    expect(board().files[0]?.attachment.description).toContain('Height against time');
    await stand.press(greta, board(), 'Pitch 1 done');
    await untilSo(() => board().content.includes('1 of 8 pitches done'));
    expect((await page(link)).text).toContain('1 of 8 pitches done; pitch 2 next.');

    await bot.close();
    bot = await start();
    const before = edits();
    await untilSo(() => edits() > before);
    expect(board().id).toBe(first);
    clock.moveTo(instant(ZONE, '2031-08-23 08:00'));
    const asked = await stand.press(greta, board(), 'Pitch 2 done at…');
    const done = await stand.submitModal(greta, asked, { 'When was it?': '07:40' });
    expect(done.text).toContain('Pitch 2 done at 07:40');
    await untilSo(() => board().content.includes('2 of 8 pitches done'));

    clock.moveTo(instant(ZONE, '2031-08-23 10:01'));
    await untilSo(() => board().content.startsWith('No word yet. Expected: a check-in at 10:00.'));
    expect((await page(link)).text).toContain('Overdue since 10:00');

    await stand.press(mara, await slash('/trip down'), 'Yes, everyone is down');
    await slash('/trip close');
    await untilSo(() => board().content.includes('losed'));
    expect(buttonLabels(board())).toEqual([]);
    expect((await page(link)).status).toBe(404);
    const sure = await slash('/trip purge');
    const erased = await stand.press(mara, sure, 'Erase for good');
    expect(erased.text).toContain('Erased. Nothing of that trip is kept.');
    expect(pinned()).toEqual([]);
    expect(stand.refusals()).toEqual([]);
  });

  it('lives in a thread as in a channel; archived while the party is out, its board opens it again', async () => {
    wall = stand.addThread(wall, 'harrow tower');
    await setUp();
    await slash('/trip depart');
    await slash('/board');
    stand.archive(wall);
    clock.moveTo(clock.wallMs() + 11 * MINUTE);
    await untilSo(() => wall.thread?.archived === false);
    await stand.press(greta, board(), 'Pitch 1 done');
    await untilSo(() => board().content.includes('1 of 8 pitches done'));
    stand.archive(wall);
    clock.moveTo(instant(ZONE, '2031-08-23 10:01'));
    await untilSo(() => stand.sees(mara, wall).at(-1)?.content.includes('10:00') === true);
    const alarm = stand.sees(mara, wall).at(-1) as StandMessage;
    expect(stand.notified(mara).map((m) => m.id)).toContain(alarm.id);
    const well = await stand.press(mara, alarm, buttonLabels(alarm)[0] ?? '');
    expect(well.text).toContain('With this word the alarm is over.');
    expect(stand.refusals().every((r) => r.code === 50083)).toBe(true);
  });

  it('changes the board at most once in five seconds under a burst, and ends with the last post', async () => {
    await setUp();
    await slash('/trip depart');
    await slash('/board');
    const before = edits();
    const startMs = clock.wallMs();
    for (let i = 1; i <= 40; i++) {
      await stand.slash(greta, wall, '/checkin ok', { words: `word ${i}` });
      clock.moveTo(clock.wallMs() + 500);
    }
    await untilSo(() => board().content.includes('word 40'));
    const tookS = (clock.wallMs() - startMs) / SECOND;
    expect(edits() - before).toBeLessThanOrEqual(Math.ceil(tookS / 5));
    expect(edits() - before).toBeGreaterThan(1);
    expect(stand.refusals()).toEqual([]);
  });

  it('where nothing may be posted the answer says what to grant, and is the board', async () => {
    await setUp();
    await slash('/trip depart');
    stand.trouble(wall, 'no-permission');
    const answer = await slash('/board');
    expect(answer.text).toContain('Grant it View Channel, Send Messages and Attach Files');
    expect(answer.text).toContain("going in; the first pitch isn't begun");
    expect(answer.messages[0]?.files[0]?.attachment.filename).toBe('trip.png');
    await stand.press(greta, answer, 'Pitch 1 done');
    stand.trouble(wall, undefined);
    await slash('/board');
    expect(board().content).toContain('1 of 8 pitches done');
  });

  it('has no page and no link to one without a base address', async () => {
    await bot.close();
    bot = await start({ TAGLINE_PAGE_URL: '' });
    await setUp();
    expect((await slash('/overdue link')).text).toContain('There is no status page here.');
    expect(bot.pageUrl).toBeUndefined();
  });

  it('watches, shows the page and closes while Discord does not answer', async () => {
    await setUp();
    await slash('/trip depart');
    const link = await newLink();
    await bot.close();
    const deaf = createServer((socket) => void socket.on('error', () => {}).resume());
    await new Promise<void>((resolve) => deaf.listen(0, '127.0.0.1', resolve));
    const { port } = deaf.address() as AddressInfo;
    bot = await start({ DISCORD_API_URL: `http://127.0.0.1:${port}/api` }, false);
    expect((await page(link)).text).toContain('<h1>Harrow Tower</h1>');
    clock.moveTo(instant(ZONE, '2031-08-23 10:01'));
    // The watch looks by itself; nobody here is told when it has.
    while (!(await page(link)).text.includes('Overdue since 10:00'));
    expect((await bot.watch.health.report()).checks.gateway?.says).toMatch(/^gone for/u);
    let closed = false;
    void bot.close().then(() => {
      closed = true;
    });
    await untilSo(() => closed);
    await bot.connected;
    await new Promise((resolve) => deaf.close(resolve));
    bot = await start();
  });

  it('tries again until Discord is there', async () => {
    await bot.close();
    stand.faults.add({
      route: 'GET /gateway/bot',
      times: 4,
      fault: { what: 'status', status: 503 },
    });
    bot = await start({}, false);
    let connected = false;
    void bot.connected.then(() => {
      connected = true;
    });
    await untilSo(() => connected);
    await setUp();
    expect((await slash('/trip show')).text).toContain('Preparing');
  });

  it('tells a contact by the gateway that the settings name, and health says when it takes nothing', async () => {
    await bot.close();
    const got: { headers: IncomingHttpHeaders; body: string }[] = [];
    let status = 202;
    const gateway = createHttpServer((request, response) => {
      let body = '';
      request.setEncoding('utf8').on('data', (part: string) => {
        body += part;
      });
      request.on('end', () => {
        got.push({ headers: request.headers, body });
        response.writeHead(status).end();
      });
    });
    await new Promise<void>((resolve) => gateway.listen(0, '127.0.0.1', resolve));
    const { port } = gateway.address() as AddressInfo;
    const secret = `whsec_${Buffer.alloc(32, 1).toString('base64')}`;
    const url = `http://127.0.0.1:${port}/phones`;
    bot = await start({ TAGLINE_WEBHOOK_URL: url, TAGLINE_WEBHOOK_SECRET: secret });
    await setUp();
    const edda = { name: 'Edda', role: 'contact', phone: '+47 900 00 000', ways: 'phone' };
    expect((await slash('/roster add', edda)).text).toContain('Edda is asked by phone');
    await untilInTime(clock, () => got.length > 0);
    const [first] = got;
    // The signature is of this bot's own time, which stands still; the convention's reader is in delivery/webhook.test.ts.
    expect(first?.headers['webhook-timestamp']).toBe(String(Math.floor(clock.wallMs() / 1000)));
    expect(JSON.parse(first?.body ?? '').data).toMatchObject({ to: '+4790000000', name: 'Edda' });
    const phones = async () => (await bot.watch.health.report()).checks.phones;
    expect(await phones()).toEqual({ ok: true, says: 'taken' });
    status = 500;
    await slash('/checkin contact', { answer: 'again', for: 'Edda' });
    await untilInTime(clock, () => got.length > 1);
    while ((await phones())?.ok !== false) await new Promise((resolve) => setImmediate(resolve));
    expect((await phones())?.says).toBe('http-500');
    await bot.close();
    gateway.closeAllConnections();
    await new Promise((resolve) => gateway.close(resolve));
    clock.moveTo(clock.wallMs() + MINUTE);
    bot = await start();
  });

  it('a part that can’t be started stops those before it', async () => {
    await bot.close();
    const taken = createServer();
    await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve));
    const address = taken.address();
    const port = typeof address === 'object' && address !== null ? String(address.port) : '';
    await expect(start({ TAGLINE_HEALTH_PORT: port })).rejects.toThrow('EADDRINUSE');
    await until(() => [...stand.gateway.sessions.values()].every((s) => s.socket === undefined));
    await new Promise((resolve) => taken.close(resolve));
    clock.moveTo(clock.wallMs() + MINUTE);
    bot = await start();
  });
});
