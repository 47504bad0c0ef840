/**
 * A contact who reads German, with a German in which each letter of each sentence is a mark: whatever else is read in
 * letters did not come from the catalogue. Times, names, units and what somebody typed are let through, and what says
 * of itself that it is English.
 */
import type { FastifyInstance } from 'fastify';
import { parseHTML } from 'linkedom';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { buildPageServer } from '../../../src/page/server/server.ts';
import { LANGUAGES } from '../../../src/say/contact/languages.ts';
import { CATALOGUE, type Key } from '../../../src/say/contact/words.ts';
import { ownPath, visit } from '../../page/contact/visitor.ts';
import { climbHalfway, goSilent, onPage } from '../../page/server/trip-on-page.ts';
import { byMail, byPage } from './play.ts';

/** Marks what is said by a message: text stands outside of braces, and inside of every second one. */
function mask(message: string): string {
  let depth = 0;
  return [...message]
    .map((sign) => {
      depth += sign === '{' ? 1 : sign === '}' ? -1 : 0;
      return depth % 2 === 0 && /\p{L}/u.test(sign) ? '¤' : sign;
    })
    .join('');
}

const kept = { ...CATALOGUE.de };
beforeAll(() => {
  for (const [key, text] of Object.entries(kept))
    Object.assign(CATALOGUE.de, { [key]: mask(text) });
});
afterAll(() => void Object.assign(CATALOGUE.de, kept));

/** Said where German is picked; it is no sentence of the catalogue, and German all the same. */
const NOTE = LANGUAGES.de.unreviewed ?? '';
const LETTERS = /[\p{L}’']{2,}/gu;
const LET_THROUGH = new Set([
  ...['Harrow', 'Tower', 'Lantern', 'Gorge', 'Mara', 'Jonas', 'Ines', 'Greta', 'Dana', 'Edda'],
  ...['Europe', 'Oslo', 'London', 'min', 'kg', 'English', 'tagline', 'watch'],
  // Between names, by Intl; and the server of the example.
  ...['und', 'ntfy', 'example', 'org'],
  ...['Mo', 'Di', 'Mi', 'Do', 'Fr', 'Sa', 'So', 'Aug', 'Juni'],
]);

/** Words that are no mark. */
function unmarked(text: string): string[] {
  const bare = text
    .replaceAll(NOTE, ' ')
    .replace(/„[^“]*“|“[^”]*”/gu, ' ')
    .replace(/https?:\/\/\S+|\S+@\S+/gu, ' ');
  return [...new Set(bare.match(LETTERS) ?? [])].filter((word) => !LET_THROUGH.has(word));
}

/** What a page shows and what a screen reader says of it. */
function shown(page: string): string {
  const { document } = parseHTML(page);
  for (const own of document.querySelectorAll('[lang="en"], style, script')) own.remove();
  const said = [...document.querySelectorAll('[placeholder], [aria-label], [title], [alt]')].map(
    (one) =>
      ['placeholder', 'aria-label', 'title', 'alt'].map((a) => one.getAttribute(a) ?? '').join(' '),
  );
  return [document.documentElement?.textContent ?? '', ...said].join(' ');
}

const german = (key: Key) => CATALOGUE.de[key];
const presses = () => ({
  yes: german('button.yes'),
  hand: german('button.ack'),
  heard: german('page.theyAreWell'),
  called: german('button.called'),
  knows: german('button.stoodDown'),
  sheet: german('sheet.open'),
});

it('a German of marks is one', () => {
  expect(german('button.yes')).toMatch(/^¤+, ¤+$/u);
  expect(unmarked('Harrow Tower: ¤¤ call 112')).toEqual(['call']);
  expect(unmarked(german('family.ifLate'))).not.toContain('bekommt');
});

it('every page of a trip, from the invitation to the end', async () => {
  const read = await byPage({ language: 'Deutsch', ...presses() });
  const left = read.slice(1).flatMap(({ what, text }) => {
    const words = unmarked(shown(text));
    return words.length === 0 ? [] : [`${what}: ${words.join(' ')}`];
  });
  expect(left).toEqual([]);
});

it('every mail of a trip, its subject and its words', async () => {
  const read = await byMail({
    language: 'DEUTSCH',
    yes: 'JA',
    strange: 'Was soll ich tun',
    hand: 'OK',
    called: 'ANGERUFEN',
    knows: 'DER RETTUNGSDIENST WEISS ES',
    leave: 'AUFHÖREN',
    leaveSure: 'JA, AUFHÖREN',
  });
  const left = read.slice(1).flatMap(({ what, text }) => {
    const words = unmarked(text.replace(/^In English:.*$/gmu, ' '));
    return words.length === 0 ? [] : [`${what} ${text.split('\n')[0]}: ${words.join(' ')}`];
  });
  expect(left).toEqual([]);
});

const GERMAN = { 'accept-language': 'de' };

async function everywhere(server: FastifyInstance, paths: readonly string[]) {
  const left: string[] = [];
  for (const [i, url] of paths.entries()) {
    const get = await server.inject({ method: 'GET', url, headers: GERMAN });
    expect([url, get.statusCode]).toEqual([url, 200]);
    const text = get.headers['content-type']?.toString().startsWith('text/html')
      ? shown(get.body)
      : // RFC 5545: what a calendar shows; folded lines put together.
        (get.body.replace(/\r\n /gu, '').match(/^(?:SUMMARY|DESCRIPTION)[^:]*:.*$/gmu) ?? [])
          .map((line) => line.slice(line.indexOf(':') + 1).replace(/\\n/gu, ' '))
          .join(' ');
    const words = unmarked(text);
    if (words.length > 0)
      left.push(`${i} ${url.replace(/[0-9a-f]{40}/u, '…')}: ${words.join(' ')}`);
  }
  return left;
}

it('the pages beside it, the sheet, the calendar, the family’s page and the CAP file, at each moment', async () => {
  const on = await onPage(undefined, {
    ntfy: { servers: ['https://ntfy.example.org'] },
    push: { publicKey: 'x', takes: () => true },
  });
  const server = await buildPageServer(on.settings);
  const own = await ownPath(on.settings.links, on.trip, 'dana');
  const family = await on.settings.links.make(on.trip, on.w.clock.wallMs(), 'family');
  const paths = [
    ...['', '/push', '/ntfy', '/ways', '/sheet'].map((end) => `${own}${end}`),
    `${new URL(family).pathname}?at=London`,
    `${new URL(family).pathname}?at=Nirgends&still=1`,
  ];
  const look = async (moment: string, also: readonly string[] = []) => {
    const left = await everywhere(server, [...paths, ...also]);
    expect(left.map((one) => `${moment}: ${one}`)).toEqual([]);
    const sheet = await server.inject({ method: 'POST', url: `${own}/sheet`, headers: GERMAN });
    expect([moment, unmarked(shown(sheet.body))]).toEqual([moment, []]);
  };
  const say = async (line: string, who = 'mara') => {
    const reply = await on.w.say(who, line);
    if (reply.refused && !reply.buttons?.length)
      throw new Error(`${line}: ${JSON.stringify(reply)}`);
  };
  try {
    await say('/checkin contact answer:"auf Deutsch"', 'dana');
    await look('before the start');
    await say(
      '/overdue details vehicle:"red van" parked:"lower car park" gear:"two ropes" approach:x',
    );
    await say('/roster edit who:Jonas phone:"+47 900 00 000" age:31 clothing:orange medical:none');
    await climbHalfway(on);
    await say('/checkin plan once:18:00 about:"from the ledge"');
    await look('on the wall', [`${own}/times.ics`]);
    await goSilent(on);
    await look('overdue');
    await say(
      '/trouble report who:Ines condition:hurt what:"a twisted ankle" where:"at five" how:radio wants:cope',
      'greta',
    );
    await on.w.tick();
    await look('in trouble');
    const empty = await (await visit(server, own)).press(german('button.over'), { said: '' });
    expect(empty.text).toContain(german('refused.unreadable-options'));
    expect(unmarked(shown(empty.html))).toEqual([]);
    await goSilent(on, true);
    await on.w.tick();
    await look('the call-out time');
    await say('/overdue resolve how:called', 'dana');
    await look('called');
    const cap = await on.w.say('dana', '/overdue sheet as:"CAP 1.2 file"');
    const xml = new TextDecoder().decode(cap.files?.[0]?.bytes);
    const infos = [...xml.matchAll(/<info>.*?<\/info>/gsu)].map(([info]) => info);
    expect(infos.map((info) => /<language>(\w+)</u.exec(info)?.[1])).toEqual(['en', 'de']);
    const words = [
      ...(infos[1] ?? '').matchAll(
        /<(?:event|senderName|headline|description|instruction)>([^<]*)</gu,
      ),
    ].map(([, text = '']) => text.replace(/&amp;/gu, '&'));
    expect(words.length).toBe(5);
    expect(unmarked(words.join(' '))).toEqual([]);
    await say('/trouble over said:"Ines by radio: walked out" left:out', 'greta');
    await on.w.say('mara', '/trip down');
    await look('everyone is down');
  } finally {
    await server.close();
    await on.close();
  }
});
