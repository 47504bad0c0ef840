/** The family's page: how it goes, and at no moment anything that is private or that somebody typed. */
import type { FastifyInstance } from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { buildPageServer } from '../../src/page/server/server.ts';
import { publicState } from '../../src/trip/public.ts';
import { ask } from '../commands/ask.ts';
import { text } from '../helpers/world.ts';
import { visit } from './contact/visitor.ts';
import { climbHalfway, DAY, goSilent, type OnPage, onPage } from './server/trip-on-page.ts';

let on: OnPage;
let server: FastifyInstance;
let path: string;

beforeEach(async () => {
  on = await onPage();
  server = await buildPageServer(on.settings);
  path = await link();
});
afterEach(async () => {
  await server.close();
  await on.close();
});

async function link(): Promise<string> {
  const reply = text(await on.w.say('mara', '/overdue link family:yes'));
  return new URL(/https:\S+/u.exec(reply)?.[0] ?? '').pathname;
}

describe('what the family reads', () => {
  it('is how it goes, the plan, and when they mean to be heard from', async () => {
    await climbHalfway(on);
    const page = await visit(server, path);
    expect(page.status).toBe(200);
    expect(page.text).toContain('5 of 8 pitches done');
    expect(page.text).toContain('Last heard from them Sat 14:22, 10 min ago.');
    expect(page.text).toContain('They mean to be heard from next: a check-in at Sat 18:00.');
    expect(page.text).toContain('If they are late, Dana is told and knows what to do.');
    expect(page.text).toContain('A pitch is one stretch of the wall');
    expect(page.text).toContain('Sat 23 Aug: pitches 1 to 8');
    expect(page.text).toMatch(/likely back by [\d:]+; nine times in ten by/u);
    expect(page.text).toContain('14:22: pitch 5 of 8 done');
    expect(page.headers['content-security-policy']).not.toContain('script-src');
  });

  it('says of a climb of two days when each begins and where the night is, in both languages alike', async () => {
    for (const line of [
      '/topo edit number:5 stance:ledge',
      '/bivy plan pitch:5',
      '/trip edit start:06:00',
      '/trip depart',
    ]) {
      const reply = await on.w.say('mara', line);
      if (reply.refused) throw new Error(`${line}: ${text(reply)}`);
    }
    const two = [
      ['en', 'Sat 23 Aug: pitches 1 to 5. The night on the wall, after pitch 5'],
      ['de', 'Sa 23. Aug.: Seillängen 1 bis 5. Die Nacht in der Wand, nach Seillänge 5'],
      ['en', 'Sun 24 Aug, from 06:00: pitches 6 to 8'],
      ['de', 'So 24. Aug., ab 06:00: Seillängen 6 bis 8'],
    ] as const;
    for (const [language, words] of two)
      expect((await visit(server, path, language)).text).toContain(words);
    expect((await visit(server, `${path}?at=London`)).text).toContain('from 06:00 (05:00 yours)');
    // The party's own terms are not theirs.
    expect((await visit(server, path)).text).not.toMatch(/first move|cautious|trailhead|stance/u);
  });

  it('has their own clock beside the wall’s, by a city, without a script', async () => {
    await climbHalfway(on);
    const page = await visit(server, `${path}?at=London`);
    expect(page.text).toContain(
      'It is Sat 23 Aug 14:32 at the wall (UTC+02:00), and Sat 13:32 with you (Europe/London).',
    );
    expect(page.text).toContain('a check-in at Sat 18:00 (17:00 yours)');
    expect(page.text).toContain('14:22 (13:22 yours): pitch 5 of 8 done');
    expect(page.text).toMatch(/likely back by \w+ \d\d:\d\d \(\d\d:\d\d yours\)/u);
    const odd = await visit(
      server,
      `${path}?at=${encodeURIComponent('<script>Springfield</script>')}`,
    );
    expect(odd.text).toContain('names no one place we know');
    expect(odd.html).not.toContain('<script>');
    const many = await visit(server, `${path}?at=a&at=b`);
    expect(many.status).toBe(200);
  });

  it('says that they are late, who has it in hand, and whom to ring', async () => {
    await climbHalfway(on);
    await goSilent(on);
    const late = await visit(server, path);
    expect(late.text).toContain('They are late');
    expect(late.text).toContain('Told at home: Dana.');
    // What a party would do that was heard from is no comfort about one that wasn't.
    expect(late.text).not.toContain('likely back by');
    expect(late.text).toContain('Ring Dana before you do anything');
    await goSilent(on, true);
    const grave = await visit(server, path);
    expect(grave.text).toContain('They are long overdue');
    expect(grave.text).toContain('Ring Dana now and ask who calls the rescue service.');
    await on.w.say('dana', '/overdue resolve how:called');
    expect((await visit(server, path)).text).toContain('The rescue service was called');
  });
});

const SECRETS = {
  phone: '+47 555 12 34',
  email: 'dana@example.org',
  mine: 'mara.private@example.org',
  medical: 'penicillin',
  clothing: 'magenta',
  emergency: '113',
  trouble: 'splinted',
  where: 'chockstone',
  needs: 'marzipan',
  update: 'limping',
  over: 'bandaged',
  about: 'barometer',
  wait: 'porridge',
  words: 'hailstones',
  vehicle: 'XY 90210',
  cutoff: 'dentist',
  dry: 'sandpaper',
  source: 'uncle',
  account: 'local:greta',
};

describe('nothing private', () => {
  it('is on it at any moment of a trip, nor in the state that it is made of', async () => {
    const look = async (moment: string) => {
      const { state } = await on.w.trip();
      const kept = JSON.stringify(publicState(state), (_, v) => (v instanceof Map ? [...v] : v));
      const { html } = await visit(server, `${path}?at=London`);
      for (const secret of Object.values(SECRETS)) {
        expect([moment, secret, html.includes(secret)]).toEqual([moment, secret, false]);
        expect([moment, secret, kept.includes(secret)]).toEqual([moment, secret, false]);
      }
    };
    const say = async (line: string, who = 'mara') => {
      const reply = await on.w.say(who, line);
      if (reply.refused && (reply.buttons ?? []).length === 0)
        throw new Error(`${line}: ${text(reply)}`);
    };
    const { phone, mine, medical, clothing, emergency, about, words, vehicle } = SECRETS;
    const { wait, trouble, cutoff, where, needs, dry, source } = SECRETS;
    await say(
      `/roster edit who:Mara phone:"${phone}" email:${mine} medical:${medical} clothing:${clothing}`,
    );
    await say(`/trip edit emergency:${emergency}`);
    await say(`/overdue details vehicle:"${vehicle}"`);
    await say(`/cutoff add kind:own at:"20:15" label:${cutoff}`);
    await say(`/weather rock hours:24 source:${source}`);
    await look('before the start');
    await say('/trip depart');
    await say(`/checkin plan once:18:00 about:${about} down:23:00 callout:"tomorrow 06:00"`);
    on.w.at(`${DAY} 07:20`);
    await say('/pitch done number:1', 'greta');
    await say(`/checkin ok how:radio words:${words}`, 'greta');
    await say('/rain start', 'greta');
    await say('/rain stop', 'greta');
    on.w.at(`${DAY} 07:40`);
    const greta = { user: 'local:greta', name: 'Greta', trip: on.trip };
    const wet = await ask(on.w, greta, 'pitch done', { number: 2, dry });
    expect(wet.refused).toBeUndefined();
    await look('on the wall');
    await say(`/pitch break wait:2h why:other words:${wait}`, 'greta');
    await look('waiting');
    on.w.at(`${DAY} 10:00`);
    await say(
      `/trouble report who:Jonas condition:hurt what:${trouble} where:${where} needs:${needs} how:radio wants:cope`,
      'greta',
    );
    await on.w.tick();
    const page = await visit(server, path);
    expect(page.text).toContain('They have told of trouble');
    expect(page.text).not.toMatch(/Jonas[^.]*hurt|broken/u);
    await look('in trouble');
    on.w.at(`${DAY} 10:20`);
    await say(`/trouble update words:${SECRETS.update}`, 'greta');
    await look('after an update');
    on.w.at(`${DAY} 23:59`);
    await on.w.tick();
    await look('overdue');
    await say(`/trouble over said:${SECRETS.over} left:well`, 'greta');
    await look('when it is over');
  });
});

describe('the family’s link', () => {
  it('opens that page alone, and the other links do not open it', async () => {
    const token = path.split('/').at(-1) ?? '';
    for (const other of [
      `/t/${on.trip}/${token}`,
      `/t/${on.trip}/${token}/sheet`,
      `/f/${on.trip}/${token}/sheet`,
      on.path.replace('/t/', '/f/'),
      `/f/${on.trip}/${'0'.repeat(40)}`,
    ]) {
      expect([other, (await visit(server, other)).status]).toEqual([other, 404]);
    }
    expect((await visit(server, on.path)).status).toBe(200);
  });

  it('ends when it is withdrawn or made anew, after two weeks, and with the trip; it is kept as a hash', async () => {
    const token = path.split('/').at(-1) ?? '';
    expect(JSON.stringify(await on.w.store.getFact(`family-link:${on.trip}`))).not.toContain(token);
    const second = await link();
    expect((await visit(server, path)).status).toBe(404);
    expect((await visit(server, second)).status).toBe(200);
    expect(text(await on.w.say('mara', '/overdue link family:yes end:yes'))).toBe(
      'The link does not work any more.',
    );
    expect((await visit(server, second)).status).toBe(404);
    // The helpers' own is another, and stays.
    expect((await visit(server, on.path)).status).toBe(200);
    const third = await link();
    on.w.at('2031-09-07 06:00');
    expect((await visit(server, third)).status).toBe(404);
  });

  it('is for the roster to make', async () => {
    expect((await on.w.say('stray', '/overdue link family:yes')).refused).toBe(true);
  });
});
