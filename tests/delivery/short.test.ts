/** What a lock screen or a text message has room for: never without what is to be done. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Short } from '../../src/delivery/ports.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world({ around: () => ({ phones: true }) });
  await openDemo(w);
});
afterEach(() => w.close());

/** Dana is told by phone alone, far away, in this language. */
async function byPhone(locale: string): Promise<void> {
  const { row } = await w.trip();
  const ways = ['phone' as const];
  const patch = { locale, zone: 'America/New_York', phone: '+47 900 00 000', ways };
  const yes = { person: 'dana', way: 'phone', to: '+4790000000', answer: 'yes' } as const;
  await w.app.records.write({
    trip: row.id,
    key: 'by-phone',
    nowMs: w.clock.wallMs(),
    by: { id: 'local:mara', name: 'Mara' },
    decide: () => [
      { kind: 'roster.edited', data: { id: 'dana', patch } },
      { kind: 'contact.answered', data: yes },
    ],
  });
}

async function shorts(at?: string): Promise<Short[]> {
  if (at !== undefined) w.at(at);
  await w.tick();
  return w.told
    .splice(0)
    .flatMap((t) => (t.way === 'phone' && t.envelope.short ? [t.envelope.short] : []));
}

describe.each(['en', 'de'])('a short message in %s', (locale) => {
  beforeEach(() => byPhone(locale));

  it('about the times has the call-out time and the number, however many promises there are', async () => {
    await w.say('mara', '/trip depart');
    for (const once of ['12:00', '15:00', '18:00', '21:00', '23:00']) {
      await w.say(
        'mara',
        `/checkin plan once:${once} about:"${'a long name for this '.repeat(3)}"`,
      );
    }
    await w.say('mara', '/checkin plan down:23:30 callout:"tomorrow 06:00"');
    const last = (await shorts()).at(-1);
    expect(last?.text).toMatch(/(?:Call-out time Fri|Alarmzeit Fr) 06:00/u);
    expect(last?.text).toContain('112');
  });

  it('that it is over says that the rescue service has to know, when it was called', async () => {
    await w.say('mara', '/trip depart');
    await w.say('mara', '/checkin plan down:23:00 callout:"tomorrow 06:00"');
    w.at('2031-06-12 20:00');
    await w.say('greta', '/pitch done number:1 at:06:50');
    await shorts('2031-06-13 06:01');
    await w.say('dana', '/overdue resolve how:called');
    await shorts('2031-06-13 06:20');
    await w.say(
      'greta',
      '/checkin ok how:radio words:"all three are well, slept on the ledge under the roof"',
    );
    const over = (await shorts()).find((s) => /over|vorbei/u.test(s.title));
    expect(over?.text).toMatch(/Dana: (?:tell the rescue service by|[^.]*bis) Fr/u);
    const [asked] = await shorts('2031-06-13 07:00');
    expect(asked?.text).toMatch(/tell the rescue service now|Sagen Sie dem Rettungsdienst jetzt/u);
  });

  it('says once which clock its times go by, and leaves the caution to the page', async () => {
    await w.say('mara', '/trip depart');
    await w.say('mara', '/checkin plan down:18:00 callout:23:00');
    const all = [...(await shorts('2031-06-12 18:31')), ...(await shorts('2031-06-12 23:01'))];
    expect(all.length).toBeGreaterThan(2);
    expect(all.at(-1)?.step).toBe('distress');
    for (const { text } of all) {
      expect(text.match(/Times|Zeiten:/gu)?.length ?? 0).toBeLessThanOrEqual(1);
      expect(text).not.toMatch(/tagline|Europe\/Oslo/u);
      expect(text.length).toBeLessThanOrEqual(520);
    }
  });
});
