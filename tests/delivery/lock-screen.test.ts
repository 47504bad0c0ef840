/**
 * What a contact sees without opening a phone: the title, and the first two to four lines of the text (common
 * practice, no source; taken as 110 characters). It says what it is about, and what to do now, or that nothing is to be.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { allShown, type Shown } from './lock-screen.ts';

const LINES = 110;

/** By kind, and where it changes the words by step: what it is about, what to do. */
type Table = Record<string, readonly [about: RegExp, now: RegExp]>;

const EN_CALL = /^Call the emergency number 112 .*\bnow/mu;
const EN: Table = {
  invite: [/contact at home for Mara\?/u, /^Mara asks you to be check-in contact/mu],
  drill: [/rehearsal, nobody is overdue/u, /Open the page and press/u],
  'plan departed': [/have left for Harrow Tower/u, /Call-out time Fri 06:00|No call-out time/u],
  'plan moved': [/call-out time moved|Everyone down/u, /to Fri 05:00/u],
  'plan up': [/still up there, and are watched again/u, /Call-out time|No call-out/u],
  deaf: [/our chat is cut off/u, /^You need to do nothing now/mu],
  hearing: [/posts reach tagline again/u, /^You need to do nothing/mu],
  unreached: [/Greta can’t be reached/u, /Reach them another way|Mara is told instead/u],
  leaving: [/really want to leave/u, /say so once more.*To stay, do nothing/u],
  removed: [/no longer a contact/u, /You are not told of missed times any more/u],
  lost: [/one way to reach you has ended/u, /You are still told by/u],
  'late uncertainty': [/no word yet/u, /^Please try them/mu],
  'late alert': [/overdue/u, /^Try everyone once more/mu],
  'late alert lapsed': [/overdue/u, /^Do you still have it\? Say so again/mu],
  'late distress': [/call \+47 70 00 00 00 now/u, EN_CALL],
  'late distress recent': [
    /call \+47 70 00 00 00 now/u,
    /Try them once more; if you reach nobody, call the emergency number 112/u,
  ],
  'late distress lapsed': [/call \+47 70 00 00 00 now/u, /called\? If not, call .* 112/u],
  'trouble alert': [/trouble$/mu, /no call to the rescue service yet. Keep your phone/u],
  'trouble distress': [/trouble, call the rescue service$/mu, EN_CALL],
  'last resort': [/overdue, can you help\?/u, /If you know them: try to reach them now/u],
  called: [/the rescue service was called/u, /^Nobody else needs to call/mu],
  early: [/told too soon/u, /If you called anyone because of it, tell them now/u],
  asked: [/do you agree to a change/u, /Agree only if you know why; else do nothing/u],
  'ended called': [/alarm over/u, /^Greta: tell the rescue service by Fri 07:05/mu],
  'ended heard': [/alarm over[\s\S]* were heard from/u, /If you called anyone out, tell them now/u],
  'ended over': [/alarm over/u, /If you called anyone out, tell them now/u],
  'ended down': [/alarm over[\s\S]*Everyone is down/u, /The alarm is over/u],
  'ended changed': [/the watch was changed/u, /Whoever was called out stays called out/u],
  standdown: [/does the rescue service know/u, /^Greta: tell the rescue service now/mu],
  stooddown: [/the rescue service knows/u, /Nothing more to do/u],
  'over called': [/everyone is down/u, /^Greta: tell the rescue service now/mu],
  over: [/everyone is down/u, /Nothing more to do/u],
};

const DE_CALL = /^Rufen Sie jetzt die Notrufnummer 112 .* an/mu;
const DE: Table = {
  drill: [/Probe, niemand ist überfällig/u, /Öffnen Sie die Seite und drücke/u],
  'plan departed': [/sind aufgebrochen/u, /Alarmzeit Fr 06:00|keine Alarmzeit/u],
  'plan moved': [/Alarmzeit wurde|Alle unten/u, /auf Fr 05:00/u],
  'plan up': [/noch oben, und wir wachen wieder/u, /Alarmzeit|keine Alarmzeit/u],
  deaf: [/unser Chat ist unterbrochen/u, /^Sie müssen jetzt nichts tun/mu],
  hearing: [/Meldungen erreichen tagline wieder/u, /^Sie müssen nichts tun/mu],
  unreached: [/Greta ist nicht zu erreichen/u, /Erreichen Sie sie anders|Mara bekommt/u],
  leaving: [/wirklich aufhören/u, /sagen Sie es noch einmal\. Wenn Sie bleiben, tun Sie nichts/u],
  removed: [/keine Kontaktperson mehr/u, /Sie erfahren nichts mehr/u],
  lost: [/ein Weg zu Ihnen besteht nicht mehr/u, /Sie erfahren alles weiterhin/u],
  'late uncertainty': [/noch keine Nachricht/u, /^Bitte versuchen Sie, sie zu erreichen/mu],
  'late alert': [/überfällig/u, /^Versuchen Sie noch einmal/mu],
  'late alert lapsed': [/überfällig/u, /^Kümmern Sie sich noch\? Sagen Sie es noch einmal/mu],
  'late distress': [/jetzt \+47 70 00 00 00 anrufen/u, DE_CALL],
  'late distress recent': [
    /jetzt \+47 70 00 00 00 anrufen/u,
    /noch einmal bei ihnen; ohne Antwort rufen Sie jetzt die Notrufnummer/u,
  ],
  'late distress lapsed': [/jetzt \+47 70/u, /angerufen\? Wenn nicht, rufen Sie jetzt .* 112/u],
  'trouble alert': [
    /Notlage$/mu,
    /noch kein Anruf beim Rettungsdienst\. Behalten Sie Ihr Telefon/u,
  ],
  'trouble distress': [/Notlage, Rettungsdienst anrufen$/mu, DE_CALL],
  called: [/der Rettungsdienst wurde angerufen/u, /^Sonst muss niemand mehr anrufen/mu],
  early: [/zu früh gemeldet/u, /Wenn Sie deswegen jemanden angerufen haben, geben Sie jetzt/u],
  asked: [/Stimmen Sie einer Änderung zu/u, /Stimmen Sie nur zu, wenn Sie wissen, warum/u],
  'ended called': [/Alarm vorbei/u, /^Greta: Sagen Sie dem Rettungsdienst bis Fr 07:05/mu],
  'ended heard': [
    /Alarm vorbei[\s\S]* haben sich gemeldet/u,
    /Wenn Sie jemanden zu Hilfe gerufen haben, geben Sie jetzt Bescheid/u,
  ],
  'ended over': [/Alarm vorbei/u, /zu Hilfe gerufen haben, geben Sie jetzt Bescheid/u],
  'ended down': [/Alarm vorbei[\s\S]*Alle sind unten/u, /Der Alarm ist vorbei/u],
  'ended changed': [/die Wache wurde geändert/u, /Wer zu Hilfe gerufen wurde, bleibt gerufen/u],
  standdown: [/Weiß es der Rettungsdienst/u, /^Greta: Sagen Sie dem Rettungsdienst jetzt/mu],
  stooddown: [/der Rettungsdienst weiß es/u, /Es ist nichts mehr zu tun/u],
  'over called': [/alle sind unten/u, /^Greta: Sagen Sie dem Rettungsdienst jetzt/mu],
  over: [/alle sind unten/u, /Es ist nichts mehr zu tun/u],
};

/** Its row: an alarm told again says to do the same. */
function rowOf(table: Table, name: string): string | undefined {
  if (name in table) return name;
  if (/^ended \w+ called$/u.test(name)) return 'ended called';
  if (/^ended (?:moved|closed|struck)/u.test(name)) return 'ended changed';
  const plain = name.replace(/ (?:repeat|instead|reopened|called|unasked)/gu, '');
  return plain in table ? plain : undefined;
}

describe.each([
  ['en', EN],
  ['de', DE],
] as const)('a lock screen in %s', (locale, table) => {
  let all: Shown[];
  beforeAll(async () => {
    all = await allShown(locale);
  });

  it.each(Object.entries(table))('%s: what it is about, and what to do', (row, [about, now]) => {
    const found = all.filter(({ name }) => rowOf(table, name) === row);
    expect(found.length).toBeGreaterThan(0);
    for (const { title, text } of found) {
      const seen = `${title}\n${text.slice(0, LINES)}`;
      expect(seen).toMatch(about);
      expect(seen).toMatch(now);
    }
  });

  it('no other kind was sent', () => {
    expect(all.filter(({ name }) => rowOf(table, name) === undefined)).toEqual([]);
  });

  it('a call to the rescue service that is told again begins with the call', () => {
    const again = all.filter(({ name }) => /distress (?:repeat|instead|reopened)/u.test(name));
    expect(again.length).toBeGreaterThan(3);
    for (const { text } of again)
      expect(text).toMatch(locale === 'en' ? /^Call /u : /^Rufen Sie /u);
  });
});
