import { afterEach, beforeEach, expect, it } from 'vitest';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip depart');
});
afterEach(() => w.close());

it('a reminder of trouble says that it stands, not that nothing was heard', async () => {
  w.at('2031-06-12 10:00');
  await w.say('greta', '/trouble report who:Ines what:"broken ankle" where:"ledge 5"');
  await w.tick();
  w.told.length = 0;
  w.at('2031-06-12 10:20');
  await w.tick();
  const again = w.told.map((t) => t.text).filter((t) => t.includes('Again:'));
  expect(again.length).toBeGreaterThan(0);
  for (const text of again) {
    expect(text).toContain('Again: nobody has said that it is over.');
    expect(text).not.toContain('nothing was heard');
  }
});

/** What to do stands first: in the mail and the direct message too, in every language. */
it.each([
  [
    'en',
    /^Call /u,
    'Again: nothing was heard.',
    /^Has the rescue service been called\? If not, call /u,
  ],
  [
    'de',
    /^Rufen Sie jetzt /u,
    'Noch einmal: Es gibt keine Nachricht.',
    /^Wurde der Rettungsdienst angerufen\? /u,
  ],
])(
  'a distress message that is repeated begins with the call, in %s',
  async (locale, call, again, asks) => {
    const { row } = await w.trip();
    await w.app.records.write({
      trip: row.id,
      key: 'language',
      nowMs: w.clock.wallMs(),
      by: { id: 'local:mara', name: 'Mara' },
      decide: () => [{ kind: 'roster.edited', data: { id: 'dana', patch: { locale } } }],
    });
    await w.say('mara', '/checkin plan down:18:00 callout:22:00');
    w.at('2031-06-12 22:01');
    await w.tick();
    w.told.length = 0;
    w.at('2031-06-12 22:20');
    await w.tick();
    const bodies = () =>
      w.told.filter((t) => t.to === 'Dana').map((t) => t.text.split('\n').slice(1));
    expect(bodies().length).toBeGreaterThan(0);
    for (const [first, second] of bodies()) {
      expect(first).toMatch(call);
      expect(second).toBe(again);
    }
    await w.say('dana', '/overdue ack');
    w.told.length = 0;
    w.at('2031-06-12 23:20');
    await w.tick();
    expect(bodies().length).toBeGreaterThan(0);
    for (const [first] of bodies()) expect(first).toMatch(asks);
  },
);
