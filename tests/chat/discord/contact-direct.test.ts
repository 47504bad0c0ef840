/** A contact's direct messages, from the invitation to leaving, through the real client and the stand-in: all in their language. */
import { pino } from 'pino';
import { afterEach, beforeEach, expect, it } from 'vitest';
import { watchParts } from '../../../src/app/watch/parts.ts';
import { discordWays } from '../../../src/chat/discord/deliver.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { Watch } from '../../../src/delivery/loop.ts';
import type { Store } from '../../../src/store/port.ts';
import { openSqliteStore } from '../../../src/store/sqlite/store.ts';
import { countedIds } from '../../../src/system/ids.ts';
import { type Answer, type Stand, startStand } from '../../discord/driver.ts';
import type { StandChannel, StandMessage, StandUser } from '../../discord/model.ts';
import { bareBot, type RunningChat, startDiscord } from '../../helpers/bot.ts';

const MIN = 60_000;
/** 2031-06-12 06:00 in Oslo. */
const DAWN = Date.UTC(2031, 5, 12, 4, 0);

let stand: Stand;
let chat: RunningChat;
let clock: ScriptClock;
let store: Store;
let watch: Watch;
let mara: StandUser;
let dana: StandUser;
let wall: StandChannel;

beforeEach(async () => {
  clock = new ScriptClock(DAWN);
  stand = await startStand({ clock });
  mara = stand.addUser('Mara');
  dana = stand.addUser('Dana', { locale: 'de' });
  wall = stand.addChannel(stand.addGuild('Lantern Gorge', [mara, dana]), 'harrow-tower');
  store = openSqliteStore({ path: ':memory:' });
  const app = bareBot({ store, clock, ids: countedIds(), log: pino({ level: 'silent' }) });
  chat = await startDiscord({ app, token: stand.token, apiUrl: stand.apiUrl });
  watch = new Watch(watchParts(app, { ways: discordWays(chat.outgoing), owner: 'test/1/1' }));
  await stand.ready();
  await stand.commandsRegistered();
  await say('/trip open', { name: 'Harrow Tower', zone: 'Europe/Oslo', emergency: '112' });
  await say('/roster add', { name: 'Mara', user: mara });
});

afterEach(async () => {
  await chat.close();
  await stand.close();
  await store.close();
});

const say = (path: string, options: object = {}) => stand.slash(mara, wall, path, options as never);
const direct = () => stand.sees(dana, stand.dm(dana));

function newest(): StandMessage {
  const last = direct().at(-1);
  if (last === undefined) throw new Error('no direct message');
  return last;
}

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

/** Words that would be English in what she reads: a name of a command isn't. */
const ENGLISH = /\b(?:the|is|are|you|your|not|with|they|and|heard|told|nothing|Next|Call|since)\b/u;
const german = (text: string) =>
  expect(text.replace(/`[^`]*`|<\/[^>]*>|„[^“]*“/gu, '')).not.toMatch(ENGLISH);

async function press(message: StandMessage | Answer, label: string): Promise<Answer> {
  const got = await stand.press(dana, message, label);
  german(got.text);
  await watch.tick();
  return got;
}

async function type(path: string, options: object = {}): Promise<Answer> {
  const got = await stand.slash(dana, stand.dm(dana), path, options as never);
  german(got.text);
  await watch.tick();
  return got;
}

/** She says yes, whose account reads German, and the party leaves. */
async function leaves(): Promise<void> {
  await say('/roster add', { name: 'Dana', role: 'contact', user: dana });
  await watch.tick();
  // Nobody knows yet what she reads.
  expect(newest().content).toContain('Mara asks you to be check-in contact');
  const yes = await press(newest(), 'Yes, I will');
  expect(yes.text).toContain('Dana ist jetzt Kontaktperson.');
  await say('/checkin plan', { down: '08:00', callout: '12:00' });
  await say('/trip depart');
  await watch.tick();
}

const files = () =>
  stand.journal
    .of('message')
    .filter((m) => m.channelId === stand.dm(dana).id)
    .at(-1)?.files;

it('the invitation, a rehearsal and the departure with its calendar file', async () => {
  await leaves();
  expect(newest().content).toContain('Mara ist aufgebrochen');
  expect(files()).toEqual(['harrow-tower.ics']);
  await say('/checkin drill');
  await watch.tick();
  german(newest().content);
  expect((await press(newest(), 'Ich kümmere mich')).text).toContain('Die Probe ist angekommen');
  expect(stand.refusals()).toEqual([]);
});

it('a silence to the call-out time, what she presses, and its end', async () => {
  await leaves();
  await upTo(151);
  const first = newest();
  expect(first.content).toContain('Noch keine Nachricht von Mara');
  await upTo(241);
  const alert = newest();
  expect(alert.content).toContain('Mara ist überfällig');
  expect(files()).toEqual(['sheet-harrow-tower-de.txt', 'sheet-harrow-tower.txt']);
  expect((await press(alert, 'Das Blatt zeigen')).text).toContain('überfällig; niemand');
  const glance = await type('/overdue show');
  expect(glance.text).toMatch(/^Überfällig seit 08:00/u);
  expect(glance.text).toContain('Benachrichtigt: der Kanal der Gruppe, Dana.');
  expect(glance.buttons).toEqual([
    'Ich kümmere mich',
    'Es geht ihnen gut',
    'Rettungsdienst angerufen',
  ]);
  expect((await press(glance, 'Ich kümmere mich')).text).toContain('keine Erinnerungen');
  await upTo(362);
  const distress = newest();
  expect(distress.content).toMatch(/^Rufen Sie jetzt die Notrufnummer 112 an\./u);
  expect((await press(distress, 'Rettungsdienst angerufen')).text).toContain('ist angerufen');
  await say('/checkin ok', { words: 'slow, all well' });
  await watch.tick();
  expect(newest().content).toContain('Der Alarm ist vorbei.');
  expect(newest().content).toContain('Dana: Sagen Sie dem Rettungsdienst bis Do 12:17');
  // An old button belongs to an alarm that is over.
  const ended = newest();
  for (const old of [first, distress]) {
    expect((await press(old, 'Ich kümmere mich')).text).toContain('vorbei');
  }
  expect((await press(ended, 'Der Rettungsdienst weiß es')).text).toContain('Notiert');
  for (const { content } of stand.sees(dana, stand.dm(dana)).slice(2)) german(content);
  expect(stand.refusals()).toEqual([]);
});

it('what she types while nothing is overdue, and her leaving', async () => {
  await leaves();
  const help = await type('/help');
  expect(help.text).toContain('Sie sind seit 06:00');
  expect(help.text).toContain('Als Nächstes erwartet: alle unten bis 08:00');
  expect((await type('/overdue show')).text).toContain('Alarmzeit 12:00');
  expect((await type('/overdue ack')).text).toContain('kein Alarm');
  // What only the party does is refused in her language, though she pressed nothing that names the trip.
  expect((await type('/pitch done', { number: 1 })).text).toContain('Eine Kontaktperson');
  const asked = await type('/checkin contact', { answer: 'no' });
  expect(asked.text).toContain('Die Gruppe ist gerade unterwegs und zählt auf Sie.');
  const left = await press(asked, 'Trotzdem aufhören');
  expect(left.text).toContain('Dana erfährt hier nichts mehr von Alarmen');
  expect(stand.sees(mara, wall).at(-1)?.content).toContain('NOBODY at home is told now');
  expect(stand.refusals()).toEqual([]);
});

it('a button of another version', async () => {
  await leaves();
  await upTo(151);
  const alarm = newest();
  const [row] = alarm.components as unknown as { components: { custom_id: string }[] }[];
  const [button] = row?.components ?? [];
  if (button !== undefined) button.custom_id = '0:old';
  const old = await press(alarm, 'Ich kümmere mich');
  expect(old.text).toContain('Dieser Knopf ist aus einer anderen Fassung');
});

it('whoever is on no trip is answered as their chat says, in a channel in English', async () => {
  await leaves();
  const stranger = stand.addUser('Edda', { locale: 'de' });
  stand.addGuild('Elsewhere', [stranger]);
  const got = await stand.slash(stranger, stand.dm(stranger), '/overdue ack');
  expect(got.text).toContain('nichts ist geändert');
  expect((await stand.slash(dana, wall, '/pitch done', { number: 1 })).text).toContain('Contacts');
});
