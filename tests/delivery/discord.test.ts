/** The watch through the real discord.js client, to the strict stand-in on loopback. */
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { discordWays } from '../../src/chat/discord/deliver.ts';
import { ScriptClock } from '../../src/chat/local/script-clock.ts';
import { Watch } from '../../src/delivery/loop.ts';
import type { Envelope, Sent } from '../../src/delivery/ports.ts';
import type { Store } from '../../src/store/port.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { countedIds } from '../../src/system/ids.ts';
import { type Stand, startStand } from '../discord/driver.ts';
import type { StandChannel, StandGuild, StandUser } from '../discord/model.ts';
import { allAgree } from '../helpers/agree.ts';
import { bareBot, type RunningChat, startDiscord } from '../helpers/bot.ts';

const SEND = 'POST /channels/:channel/messages';
const MIN = 60_000;
/** 2031-06-12 06:00 in Oslo. */
const DAWN = Date.UTC(2031, 5, 12, 4, 0);

let stand: Stand;
let chat: RunningChat;
let clock: ScriptClock;
let store: Store;
let watch: Watch;
let mara: StandUser;
let greta: StandUser;
let dana: StandUser;
let guild: StandGuild;
let wall: StandChannel;
let mails: { address: string; envelope: Envelope }[];
let mailAnswer: Sent;

beforeEach(async () => {
  clock = new ScriptClock(DAWN);
  stand = await startStand({ clock });
  [mara, greta, dana] = ['Mara', 'Greta', 'Dana'].map((n) => stand.addUser(n)) as [
    StandUser,
    StandUser,
    StandUser,
  ];
  guild = stand.addGuild('Lantern Gorge', [mara, greta, dana]);
  wall = stand.addChannel(guild, 'harrow-tower');
  store = openSqliteStore({ path: ':memory:' });
  const log = pino({ level: 'silent' });
  const app = bareBot({ store, clock, ids: countedIds(), log });
  chat = await startDiscord({ app, token: stand.token, apiUrl: stand.apiUrl });
  mails = [];
  mailAnswer = { ok: true, receipt: 'mail' };
  const email = async ({ address }: { address: string }, envelope: Envelope) => {
    mails.push({ address, envelope });
    return mailAnswer;
  };
  const ways = { ...discordWays(chat.outgoing), email };
  watch = new Watch(watchParts(app, { ways, owner: 'test/1/1' }));
  await stand.ready();
  await stand.commandsRegistered();
  const say = (path: string, options: object) => stand.slash(mara, wall, path, options as never);
  await say('/trip open', { name: 'Harrow Tower', zone: 'Europe/Oslo', emergency: '112' });
  await say('/roster add', { name: 'Mara', user: mara });
  await say('/roster add', { name: 'Greta', role: 'ground', user: greta });
  await say('/roster add', {
    name: 'Dana',
    role: 'contact',
    user: dana,
    email: 'dana@example.org',
  });
  await say('/roster add', { name: 'Pål', role: 'contact', email: 'pal@example.org' });
  await allAgree(app, 't0000001');
  await say('/checkin plan', { down: '08:00', callout: '12:00' });
  await say('/trip depart', {});
  await watch.tick();
  mails.length = 0;
});

afterEach(async () => {
  await chat.close();
  await stand.close();
  await store.close();
});

/** Lets everything happen that falls due up to so many minutes after dawn. */
async function upTo(min: number): Promise<void> {
  const untilMs = DAWN + min * MIN;
  for (let steps = 0; steps < 500; steps++) {
    const nextMs = await watch.nextAt();
    if (nextMs === undefined || nextMs > untilMs) break;
    if (nextMs > clock.wallMs()) clock.moveTo(nextMs);
    await watch.tick();
  }
  if (untilMs > clock.wallMs()) clock.moveTo(untilMs);
}

const directs = () => stand.sees(dana, stand.dm(dana)).map((m) => m.content);
const posts = () => stand.sees(greta, wall).map((m) => m.content);

describe('when all ways work', () => {
  it('asks in the channel with a ping, tells the contact directly, and both contacts with the sheet', async () => {
    await upTo(120);
    expect(posts().at(-1)).toContain('Expected: everyone down by 08:00');
    expect(stand.notified(greta).at(-1)?.pings.users.sort()).toEqual([mara.id, greta.id].sort());
    await upTo(150);
    expect(directs().at(-1)).toContain('No word yet from Mara');
    await upTo(240);
    expect(directs().at(-1)).toContain('Mara is overdue');
    const direct = stand.journal.of('message').filter((m) => m.channelId === stand.dm(dana).id);
    expect(direct.at(-1)?.files).toEqual(['sheet-harrow-tower.txt']);
    expect(mails.map((m) => m.address)).toEqual(['pal@example.org']);
    expect(mails[0]?.envelope.message.files?.[0]?.name).toBe('sheet-harrow-tower.txt');
    expect(stand.refusals()).toEqual([]);
  });

  it('takes the buttons of a direct message for the right trip, and tells everyone of the end', async () => {
    await upTo(240);
    const alarm = stand.sees(dana, stand.dm(dana)).at(-1);
    if (alarm === undefined) throw new Error('no alarm came');
    const got = await stand.press(dana, alarm, "I've got it");
    expect(got.text).toContain('No reminders to you about this step for 45 min');
    await upTo(300);
    expect(directs().filter((t) => t.includes('Again'))).toEqual([]);
    expect(posts().some((t) => t.includes('Again'))).toBe(true);
    const fine = await stand.press(dana, alarm, 'They are fine');
    expect(fine.text).toContain('they are fine');
    await watch.tick();
    expect(directs().at(-1)).toContain('The alarm is over');
    expect(posts().some((t) => t.includes('The alarm is over'))).toBe(true);
    expect(mails.at(-1)?.envelope.message.subject).toContain('alarm over');
    expect(stand.refusals()).toEqual([]);
  });
});

describe('when a way is broken', () => {
  it('a contact with closed direct messages gets a mail at once', async () => {
    dana.dmClosed = true;
    await upTo(150);
    expect(directs()).toHaveLength(1);
    expect(mails.map((m) => m.address)).toEqual(['dana@example.org']);
  });

  it('a contact with no way left is passed over, aloud, and the next is told', async () => {
    dana.dmClosed = true;
    mailAnswer = { ok: false, retry: 'never', why: 'smtp-550' };
    await upTo(150);
    const aloud = posts().find((t) => t.includes('Dana could not be reached'));
    expect(aloud).toContain('Pål is told instead');
    // Then it is Pål's mail that is refused, and nobody is left.
    expect(posts().at(-1)).toMatch(/Pål could not be reached[\s\S]*nobody further to tell/u);
    expect(mails.map((m) => m.address)).toContain('pal@example.org');
    const shown = await stand.slash(greta, wall, '/overdue show');
    expect(shown.text).toMatch(/To Dana: did not get through \(smtp-550\)/);
  });

  it('a mail server that is dead for long is said aloud while it is tried on', async () => {
    dana.dmClosed = true;
    mailAnswer = { ok: false, retry: 'later', why: 'mail-econnection' };
    await upTo(165);
    expect(posts().some((t) => t.includes('Dana could not be reached'))).toBe(true);
    mailAnswer = { ok: true, receipt: 'mail' };
    await upTo(200);
    const rows = await store.notices((await store.openTripIn(wall.id))?.id ?? '');
    const uncertain = rows.filter((n) => n.key.includes('/phase/') && n.key.endsWith('/dana'));
    expect(uncertain.map((n) => n.status)).toEqual(['sent']);
  });

  it.each([
    ['a deleted channel', () => stand.trouble(wall, 'gone')],
    ['a channel the bot may not write in', () => stand.trouble(wall, 'no-access')],
    ['a server that threw the bot out', () => stand.kick(guild)],
  ])('%s: the contacts hear of it, by mail where Discord is closed', async (_name, spoil) => {
    spoil();
    await upTo(121);
    const said = [...directs(), ...mails.map((m) => m.envelope.message.subject)];
    expect(said.some((t) => t.includes('The channel') && t.includes('reached'))).toBe(true);
    await upTo(151);
    const told = [...directs(), ...mails.map((m) => m.envelope.message.subject)];
    expect(told.some((t) => /no word yet/iu.test(t))).toBe(true);
  });

  it('a deleted channel: party and ground crew are asked one by one', async () => {
    stand.trouble(wall, 'gone');
    await upTo(121);
    const asked = stand.sees(greta, stand.dm(greta)).map((m) => m.content);
    expect(asked.at(-1)).toContain('Expected: everyone down by Thu 08:00');
  });

  it.each([
    ['a 5xx that let it through all the same', { what: 'status', status: 502, accepted: true }],
    ['a reset that let it through all the same', { what: 'reset', accepted: true }],
    ['a 5xx', { what: 'status', status: 503 }],
    ['a rate limit', { what: 'rate-limited', retryAfterS: 0.2 }],
  ] as const)('%s: told, and shown once', async (_name, fault) => {
    stand.faults.add({ route: SEND, channelId: wall.id, fault, times: 2 });
    await upTo(125);
    expect(posts().filter((t) => t.includes('Expected: everyone down by'))).toHaveLength(1);
  });

  it('a refused file does not hold back the alarm', async () => {
    await upTo(235);
    stand.faults.add({
      route: SEND,
      channelId: stand.dm(dana).id,
      fault: { what: 'code', status: 413, code: 40005 },
    });
    await upTo(241);
    expect(directs().at(-1)).toContain('Mara is overdue');
  });
});
