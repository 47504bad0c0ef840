import type { FastifyInstance } from 'fastify';
import ICAL from 'ical.js';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { phaseNow } from '../../../src/alarm/ladder.ts';
import type { PageLinks } from '../../../src/page/server/links.ts';
import { signWords } from '../../../src/trip/signs.ts';
import type { Sign } from '../../../src/trip/watch-state.ts';
import {
  buildPageServer,
  climbHalfway,
  DAY,
  goSilent,
  type OnPage,
  onPage,
} from '../server/trip-on-page.ts';
import { ownPath, posting, stateOf, visit } from './visitor.ts';

let on: OnPage;
let server: FastifyInstance;
let links: PageLinks;
let path: string;

beforeEach(async () => {
  on = await onPage();
  links = on.settings.links;
  server = await buildPageServer(on.settings);
  await climbHalfway(on);
  path = await ownPath(links, on.trip, 'dana');
});
afterEach(async () => {
  await server.close();
  await on.close();
});

const state = () => stateOf(on);

describe('a contact by their own page alone', () => {
  it('reads how they are while all is well, and how to say what they heard', async () => {
    const page = await visit(server, path);
    expect(page.status).toBe(200);
    expect(page.text).toContain('Harrow Tower: for Dana');
    expect(page.text).toContain('Expected next:');
    expect(page.buttons).toEqual(['They are well', 'Show my time', 'Deutsch']);
    expect(page.headers['cache-control']).toContain('no-store');
  });

  it('has each time by the wall’s clock and by theirs, side by side, whether an alarm stands or not', async () => {
    await on.w.say('mara', '/roster edit who:Dana zone:"New York"');
    // EDT is UTC−4, CEST UTC+2 (tz database): six hours.
    const quiet = await visit(server, path);
    for (const both of [
      'made Sat 23 Aug 14:32 (08:32 yours)',
      'Last heard Sat 14:22 (08:22 yours)',
      'Expected next: a check-in at Sat 18:00 (12:00 yours)',
      'From Sun 06:00 (00:00 yours): this is the call-out time',
      'likely on top by Sat',
    ])
      expect(quiet.text).toContain(both);
    await goSilent(on);
    for (const page of [quiet, await visit(server, path)]) {
      const alone = page.text.match(
        /\d\d:\d\d(?! \((?:\w{3} )?\d\d:\d\d yours\)| yours|\. Times)/gu,
      );
      expect(alone?.filter((time) => !page.text.includes(`UTC+${time}`)) ?? []).toEqual([]);
    }
  });

  it('takes their own clock there, by a city, for the page and for messages', async () => {
    const odd = await (await visit(server, path)).press('Show my time', { at: '<b>Springfield' });
    expect(odd.text).toContain('names no one place we know');
    expect(odd.html).not.toContain('<b>Spring');
    const kept = await (await visit(server, path)).press('Show my time', { at: 'new york' });
    expect(kept.text).toContain('Kept: your own time stands beside the wall’s');
    expect(kept.text).toContain('Expected next: a check-in at Sat 18:00 (12:00 yours)');
    await goSilent(on);
    const told = on.w.told.filter((t) => t.to === 'Dana').at(-1)?.text;
    expect(told).toContain('Sat 18:00 (12:00 yours)');
    // An alarm that came meanwhile is no reason to refuse it.
    const back = await kept.press('Show my time', { at: '' });
    expect(back.text).toContain('Kept: times are the wall’s alone.');
    expect((await stateOf(on)).people.find((p) => p.id === 'dana')?.zone).toBeUndefined();
    const german = await (await visit(server, path, 'de')).press('Meine Zeit zeigen', {
      at: 'Tokyo',
    });
    expect(german.text).toContain('Ab jetzt steht Ihre Zeit neben der an der Wand');
  });

  it('before it is time for the rescue service, to ring the party is the large step', async () => {
    const rings = (html: string) =>
      [...html.matchAll(/<a class="act([^"]*)" href="(tel:[^"]*)">([^<]*)</gu)].map((m) =>
        m.slice(1),
      );
    await goSilent(on);
    expect(rings((await visit(server, path)).html)).toEqual([]);
    await on.w.say('greta', '/roster edit who:Greta phone:"+47 000 00 004"');
    expect(rings((await visit(server, path)).html)).toEqual([
      [' call screen', 'tel:+4700000004', 'Ring Greta'],
    ]);
    await on.w.say('mara', '/roster edit who:Mara phone:"+47 000 00 001"');
    await on.w.say('mara', '/roster edit who:Ines phone:"+47 000 00 003"');
    // RFC 3966: the global number, without the spaces that are for reading.
    expect(rings((await visit(server, path)).html)).toEqual([
      [' call screen', 'tel:+4700000001', 'Ring Mara'],
      [' screen', 'tel:+4700000003', 'Ring Ines'],
    ]);
    await goSilent(on, true);
    expect(rings((await visit(server, path)).html)).toEqual([[' call', 'tel:112', 'Call 112']]);
  });

  it('says “you” of whoever reads it, and names the others', async () => {
    const page = await visit(server, path);
    expect(page.text).toContain('From 18:30: tagline tells you. Try to reach the party');
    expect(page.text).not.toContain('tells Dana');
  });

  it('takes the alert in hand, calls at the call-out time with the number and the words, and notes the end', async () => {
    await goSilent(on);
    const alert = await visit(server, path);
    expect(alert.text).toContain('overdue');
    expect(alert.text).toContain('a check-in at Sat 18:00');
    expect(alert.text).toContain('Times are those of the wall: Europe/Oslo, UTC+02:00');
    const inHand = await alert.press("I've got it");
    expect(inHand.text).toContain('Noted.');
    expect((await state()).watch.acks.at(-1)).toMatchObject({ person: 'dana' });

    await goSilent(on, true);
    const distress = await visit(server, path);
    expect(distress.html).toContain('href="tel:112"');
    expect(distress.text).toContain('Read this out');
    expect(distress.text).toContain('My name is Dana');
    expect(distress.text).toContain('They asked for a call by 24 Aug 2031 06:00 (+02:00).');
    expect(distress.text).toContain('3 people are up there: Mara');
    const called = await distress.press('I have called the rescue service');
    expect(called.text).toContain('Noted: the rescue service was called.');
    expect((await state()).watch.called).toHaveLength(1);
    expect(called.text).not.toContain('Read this out');

    const over = await called.press('They are well', { at: '06:10', words: 'at the hut' });
    expect(over.text).toContain('The alarm is over');
    expect(phaseNow(await state())).toBeUndefined();
    const after = await state();
    const sign = after.watch.signs.at(-1) as Sign;
    expect(sign).toMatchObject({ by: { name: 'Dana' } });
    expect(signWords(after, sign)).toContain('at the hut');
  });

  it('takes their times into a calendar from there, as who is told without files has to', async () => {
    const page = await visit(server, path);
    expect(page.html).toContain(`href="${path}/times.ics"`);
    const { headers, body, statusCode } = await server.inject({
      method: 'GET',
      url: `${path}/times.ics`,
    });
    expect([statusCode, headers['content-type']]).toEqual([
      200,
      'text/calendar; charset=utf-8; method=PUBLISH',
    ]);
    // Read by ical.js, which is not what wrote it (RFC 5545).
    const events = new ICAL.Component(ICAL.parse(body)).getAllSubcomponents('vevent');
    const starts = events.map((e) => new ICAL.Event(e).startDate.toJSDate().toISOString());
    expect(starts).toContain('2031-08-24T04:00:00.000Z');
    expect(events.every((e) => e.getAllSubcomponents('valarm').length > 0)).toBe(true);
    const wrong = path.replace(/.$/u, (c) => (c === '0' ? '1' : '0'));
    expect((await visit(server, `${wrong}/times.ics`)).status).toBe(404);
  });

  it('is asked back when the words speak of an injury', async () => {
    await goSilent(on);
    const page = await visit(server, path);
    const asked = await page.press('They are well', {
      words: 'Jonas has a broken leg, need rescue',
    });
    expect(phaseNow(await state())).toBeDefined();
    expect(asked.text).toContain('is somebody hurt, or is help wanted?');
    const told = await asked.press('Report trouble', { what: 'broken leg', where: 'ledge 5' });
    expect(told.text).toContain('broken leg');
    expect((await state()).troubles).toHaveLength(1);
  });

  it('opens the sheet by a second step, which stands in the record under their name', async () => {
    const question = await visit(server, `${path}/sheet`);
    expect(question.text).toContain('Open the sheet');
    const before = (await state()).seq;
    const sheet = await question.press('Open the sheet');
    expect(sheet.text).toContain('With them');
    expect((await state()).seq).toBe(before + 1);
    const log = await on.w.say('mara', '/log show');
    expect(JSON.stringify(log)).toContain('Dana');
  });
});

describe('what is sent by a page', () => {
  it('changes nothing by being opened, as scanners of mail do', async () => {
    await goSilent(on);
    const before = (await state()).seq;
    for (const end of ['', '/sheet', '?what=x&seal=y']) await visit(server, path + end);
    await server.inject({ method: 'HEAD', url: path });
    expect((await state()).seq).toBe(before);
  });

  it('counts once when it is sent twice', async () => {
    await goSilent(on);
    const page = await visit(server, path);
    const first = await page.press("I've got it");
    const after = (await state()).seq;
    const second = await page.press("I've got it");
    expect(second.text).toContain('Noted.');
    expect(first.text).toContain('Noted.');
    expect((await state()).seq).toBe(after);
  });

  it('does nothing when the alarm has changed since the page was made', async () => {
    await goSilent(on);
    const old = await visit(server, path);
    await on.w.say('greta', '/checkin ok words:"all at ledge 5"');
    on.w.at(`${DAY} 22:40`);
    await on.w.tick();
    const before = (await state()).seq;
    const late = await old.press("I've got it");
    expect(late.text).toContain('The alarm has changed since that page was made');
    expect((await state()).seq).toBe(before);
  });

  it('is refused when it was never offered: another command, another seal, another person’s', async () => {
    await goSilent(on);
    const before = (await state()).seq;
    const what = JSON.stringify({
      path: 'trip down',
      options: {},
      asks: [],
      seen: phaseNow(await state())?.seq ?? 0,
      once: 'x',
    });
    const seals = [
      'f'.repeat(64),
      '',
      links.seals.form(on.trip, 'greta', what),
      links.seals.form('trip9999', 'dana', what),
      links.seals.link(on.trip, 'dana', what),
    ];
    for (const seal of seals) {
      const answer = await server.inject(posting(path, new URLSearchParams({ what, seal })));
      expect(answer.body).toContain('This was not understood, and nothing was done.');
    }
    expect((await server.inject(posting(path, new URLSearchParams()))).statusCode).toBe(200);
    const huge = new URLSearchParams({ what: 'x'.repeat(9000), seal: 'y' });
    expect((await server.inject(posting(path, huge))).statusCode).toBe(413);
    expect((await state()).seq).toBe(before);
  });
});

describe('a contact’s link', () => {
  it('opens nothing of another person, another trip, or with another token', async () => {
    const [, , trip, , token] = path.split('/');
    for (const wrong of [
      `/c/${trip}/mara/${token}`,
      `/c/${trip}/nobody/${token}`,
      `/c/trip9999/dana/${token}`,
      `/c/${trip}/dana/${'0'.repeat(40)}`,
      `/t/${trip}/${token}`,
      await ownPath(links, on.trip, 'mara'),
    ]) {
      expect((await visit(server, wrong)).status, wrong).toBe(404);
    }
  });

  it('ends when it is renewed, and when they are taken off the roster', async () => {
    const refused = await on.w.say('greta', '/overdue link for:Dana');
    expect(refused.code).toBe('not-yours');
    const own = await on.w.say('dana', '/overdue link for:Dana');
    expect(JSON.stringify(own.lines)).toContain(path);
    await on.w.say('greta', '/overdue link for:Dana end:yes');
    expect((await visit(server, path)).status).toBe(404);
    const next = await ownPath(links, on.trip, 'dana');
    expect((await visit(server, next)).status).toBe(200);
    await on.w.say('mara', '/roster add name:Pål role:contact email:pal@example.org');
    await on.w.say('pål', '/checkin contact answer:yes');
    await on.w.say('mara', '/roster remove who:Dana');
    expect((await state()).people.find((p) => p.id === 'dana')?.leftAtMs).toBeDefined();
    expect((await visit(server, next)).status).toBe(404);
  });

  it('goes with every message to them, and a mail says where to answer', async () => {
    await goSilent(on);
    const told = on.w.told.filter((t) => t.to === 'Dana');
    expect(told.length).toBeGreaterThan(0);
    for (const t of told) {
      expect(t.envelope.message.links).toEqual([
        { label: 'Your page', url: await links.own(on.trip, 'dana') },
      ]);
    }
    for (const t of on.w.told.filter((t) => t.way === 'channel')) {
      expect(t.envelope.message.links).toBeUndefined();
    }
  });
});
