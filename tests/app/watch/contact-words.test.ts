/** What a contact reads at home: whose time it is, which number works from there, and what becomes of them. */
import { describe, expect, it } from 'vitest';
import { must, play } from './play.ts';

const toDana = (news: string[]) => news.filter((t) => t.startsWith('Dana:'));

describe('a contact far away', () => {
  it('reads every time with its day, in the wall’s time and in their own', async () => {
    const w = await play();
    await must(w, 'mara', '/roster edit who:Dana zone:"Los Angeles"');
    await w.upTo('2031-06-13 02:00');
    const call = toDana(w.news()).at(-1);
    // 02:00 in Oslo (UTC+2) is 17:00 of the day before in Los Angeles (UTC−7), both in summer time.
    expect(call).toContain('Call-out time was Fri 02:00 (Thu 17:00 yours).');
    expect(call).toContain(
      'Times are those of the wall: Europe/Oslo, UTC+02:00; in brackets yours, America/Los_Angeles.',
    );
  });

  it('in the same time as the wall reads it once, and whose it is', async () => {
    const w = await play();
    await w.upTo('2031-06-13 02:00');
    const call = toDana(w.news()).at(-1);
    expect(call).toContain('Call-out time was Fri 02:00.');
    expect(call).toContain('Times are those of the wall: Europe/Oslo, UTC+02:00.');
  });

  it('has the direct number first, and the local one beside it', async () => {
    const w = await play();
    const asked = await w.say('mara', '/trip edit emergency:"911, +1 555 0100"');
    await w.pressOn('mara', asked, 'Change it');
    await w.upTo('2031-06-13 02:00');
    const call = toDana(w.news()).at(-1);
    expect(call).toContain('Harrow Tower: call +1 555 0100 now');
    expect(call).toContain('Call the emergency number 911 (from elsewhere +1 555 0100) now.');
    expect(call).not.toContain('works near the wall');
  });

  it('without one is told what to do, and the party was asked for it at the departure', async () => {
    const w = await play();
    await w.upTo('2031-06-13 02:00');
    expect(toDana(w.news()).at(-1)).toContain('112 works near the wall.');
    expect(await w.line('mara', '/overdue show')).toContain(
      "112 works near the wall only: add the rescue service's direct number",
    );
  });

  it('is told to press nothing that a mail hasn’t got', async () => {
    const w = await play();
    await w.upTo('2031-06-13 03:00');
    for (const { text } of w.told.filter((t) => t.way === 'email'))
      expect(text).not.toMatch(/\bpress\b/i);
  });
});

describe('a contact taken off the roster while an alarm stands', () => {
  it('hears that, gets the calendar’s cancel, and hears how the alarm ends', async () => {
    const w = await play();
    await must(w, 'mara', '/roster add name:Nils role:contact email:nils@example.org');
    await must(w, 'nils', '/checkin contact answer:yes');
    await w.upTo('2031-06-13 00:10');
    w.news();
    await must(w, 'mara', '/roster remove who:Dana');
    await w.tick();
    const off = w.told.filter((t) => t.to === 'Dana').at(-1);
    expect(off?.text).toContain('You were taken off the list of contacts of Harrow Tower by Mara.');
    expect(off?.envelope.message.calendar?.method).toBe('CANCEL');
    expect(off?.envelope.message.calendar?.text).toContain('STATUS:CANCELLED');
    await must(w, 'greta', '/checkin ok');
    await w.tick();
    expect(toDana(w.news()).join('\n')).toContain('The alarm is over.');
    // And nothing that comes later.
    await w.upTo('2031-06-13 12:00');
    expect(toDana(w.news())).toEqual([]);
  });
});

describe('nothing overdue', () => {
  it('is not said to be well where nobody at home would hear of it', async () => {
    const w = await play();
    expect(await w.line('mara', '/overdue show')).toMatch(/^Nothing is overdue\.\n/);
    const asked = await w.say('mara', '/roster remove who:Dana');
    await w.pressOn('mara', asked, 'Change it');
    expect(await w.line('mara', '/overdue show')).toMatch(
      /^Nothing is overdue so far\. Nobody at home would hear of it if it were\./,
    );
  });
});

describe('the end of an alarm about a part of the party', () => {
  it('names who was heard, and nobody else', async () => {
    const w = await play('nightly:21:30 down:"tomorrow 22:00" callout:"tomorrow 23:00"');
    const asked = await w.say('mara', '/retreat begin who:Mara');
    await w.pressOn('mara', asked, 'Yes, they have parted');
    await w.upTo('2031-06-12 21:35');
    await must(w, 'mara', '/checkin ok who:Mara words:"at the foot"');
    await w.upTo('2031-06-13 01:00');
    w.news();
    await must(w, 'jonas', '/checkin ok words:"radio was off"');
    await w.tick();
    const end = w.news().filter((t) => t.includes('radio was off'));
    expect(end).toHaveLength(2);
    for (const told of end) expect(told).toMatch(/Jonas and Ines were heard from, /u);
    expect(end.join()).not.toContain('Mara');
  });
});
