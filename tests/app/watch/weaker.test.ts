/** What weakens the watch is confirmed, has its own words, and needs a second person while an alarm stands. */
import { describe, expect, it } from 'vitest';
import { text } from '../../helpers/world.ts';
import { must, play } from './play.ts';

const WEAKER = [
  ['a later call-out', '/checkin plan callout:"tomorrow 04:00"', 'Call-out time would move'],
  ['a later agreed time', '/checkin plan down:23:30', 'Everyone down would move from 22:00 to'],
  ['a time taken away', '/checkin plan down:none', 'Everyone down 22:00 would be taken away.'],
  ['the last contact gone', '/roster remove who:Dana', 'Dana could not be told any more'],
  ['another emergency number', '/trip edit emergency:911', 'The emergency number would change'],
  ['longer delays', '/overdue delays overdue:240', 'It would be called overdue after 240 min'],
  ['the departure struck', '/pitch strike entry:16', 'The departure would be taken back'],
] as const;

const struck = async (w: Awaited<ReturnType<typeof play>>, line: string) => {
  const departed = (await w.trip()).history.find((f) => f.kind === 'trip.departed');
  return line.replace('entry:16', `entry:${departed?.seq}`);
};

describe('while the party is out', () => {
  it.each(WEAKER)('%s is asked back, and made by a press', async (_, typed, words) => {
    const w = await play();
    w.at('2031-06-12 12:00');
    const line = await struck(w, typed);
    const { seq } = (await w.trip()).state;
    const asked = await w.say('mara', line);
    expect(asked).toMatchObject({ refused: true, code: 'watch-weaker' });
    expect(text(asked)).toContain(words);
    const made = await w.pressOn('mara', asked, 'Change it');
    expect(text(made)).toMatch(/^Changed, as it was asked for:/);
    expect((await w.trip()).state.seq).toBe(seq + 3);
    // Once only.
    expect((await w.pressOn('mara', asked, 'Change it')).refused).toBe(true);
  });

  it('is not asked about what makes the watch no weaker', async () => {
    const w = await play();
    for (const line of [
      '/checkin plan callout:"tomorrow 01:00"',
      '/checkin plan once:15:00',
      '/checkin plan nightly:21:00',
      '/overdue delays overdue:60',
      '/roster add name:Nils role:contact email:nils@example.org',
    ]) {
      await must(w, 'mara', line);
    }
  });

  it('new times after a word that excused the old ones are what was asked for', async () => {
    const w = await play();
    w.at('2031-06-13 02:10');
    await must(w, 'mara', '/checkin ok');
    await must(w, 'mara', '/checkin plan down:06:00 callout:10:00');
  });

  it('a second press on a plan that has changed since does nothing', async () => {
    const w = await play();
    const asked = await w.say('mara', '/checkin plan callout:"tomorrow 04:00"');
    await must(w, 'jonas', '/checkin plan callout:"tomorrow 01:30"');
    const late = await w.pressOn('mara', asked, 'Change it');
    expect(late.code).toBe('button-over');
    expect((await w.trip()).state.watch.moved).toHaveLength(1);
  });
});

describe('while an alarm stands', () => {
  /** As it is typed after midnight. */
  const later = (line: string) => line.replace('down:23:30', 'down:01:30');

  it('ASVS V2.3.5: closing needs a second person', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:30');
    const first = await w.say('dana', '/trip close');
    const asked = await w.pressOn('dana', first, 'Close all the same');
    expect(asked.code).toBe('second-person');
    expect((await w.trip()).state.closedAtMs).toBeUndefined();
    expect((await w.pressOn('greta', asked, 'I agree')).refused).toBeUndefined();
    await w.tick();
    const end = w.news().filter((t) => t.startsWith('Dana: Harrow Tower: the watch was changed'));
    expect(end.join()).toContain('The trip was closed by Dana, agreed by Greta.');
    expect(end.join()).toContain('Nobody has been heard from.');
  });

  it.each(WEAKER)('ASVS V2.3.5: %s needs a second person', async (_, typed, words) => {
    const w = await play();
    await w.upTo('2031-06-13 00:30');
    w.news();
    const line = await struck(w, later(typed));
    const asked = await w.say('jonas', line);
    expect(asked).toMatchObject({ refused: true, code: 'second-person' });
    expect(text(asked).replaceAll('Thu 22:00', '22:00')).toContain(words);
    await w.tick();
    expect(w.news().join()).toContain('channel: Harrow Tower: do you agree to a change?');
    const alone = await w.pressOn('jonas', asked, 'I agree');
    expect(alone.code).toBe('second-person');
    const made = await w.press('greta', 'I agree', { to: 'channel' });
    expect(text(made)).toMatch(/^Changed, as it was asked for:/);
    await w.tick();
    // Nobody says that anybody was heard from, nor that anything is over.
    expect(w.news().join('\n')).not.toMatch(/alarm is over|heard from,|If you called/);
  });

  it('says by whom the times were moved, and that nobody was heard from', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:30');
    await w.say('dana', '/checkin plan down:"tomorrow 12:00" callout:"tomorrow 20:00"');
    await w.tick();
    await w.press('greta', 'I agree', { to: 'channel' });
    w.news();
    await w.tick();
    const told = w.news().filter((t) => t.startsWith('Dana: Harrow Tower: the watch was changed'));
    expect(told[0]).toContain('was moved by Dana, agreed by Greta.');
    expect(told[0]).toContain('Nobody has been heard from.');
  });

  it('a climber is offered [We are well] first', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:30');
    const asked = await w.say('mara', '/checkin plan callout:"tomorrow 04:00"');
    expect(asked.buttons?.map((b) => b.label)).toEqual(['We are well', 'I agree']);
  });
});

describe('after the rescue service was called', () => {
  async function called() {
    const w = await play();
    await w.upTo('2031-06-13 02:00');
    await w.press('dana', 'I have called the rescue service');
    await w.upTo('2031-06-13 03:00');
    w.news();
    return w;
  }

  it('a word leads to standing down: who tells them, by when, done', async () => {
    const w = await called();
    const reply = await w.line('mara', '/checkin ok');
    expect(reply).toContain(
      'Dana: tell the rescue service by 03:15 what was heard, then say so here; you called them, 02:00.',
    );
    await w.tick();
    const end = w.news().find((t) => t.startsWith('Dana:'));
    expect(end).toContain('The alarm is over.');
    expect(end).toContain('Dana: tell the rescue service by Fri 03:15');
    await w.upTo('2031-06-13 03:10');
    expect(w.news().map((t) => t.split('\n')[0])).toEqual(
      expect.arrayContaining([
        'channel: Harrow Tower: does the rescue service know?',
        'Dana: Harrow Tower: does the rescue service know?',
      ]),
    );
    expect((await w.press('dana', 'The rescue service knows')).refused).toBeUndefined();
    await w.upTo('2031-06-13 04:50');
    const after = w.news();
    expect(after.some((t) => t.includes('Dana has told the rescue service'))).toBe(true);
    expect(after.filter((t) => t.includes('does the rescue service know'))).toEqual([]);
  });

  it('and is asked a few times, not for ever', async () => {
    const w = await called();
    const down = await w.say('mara', '/trip down');
    await w.pressOn('mara', down, 'Yes');
    await w.upTo('2031-06-14 03:00');
    const asked = w.news().filter((t) => t.startsWith('channel: Harrow Tower: does the rescue'));
    expect(asked).toHaveLength(6);
    expect(asked[0]).toContain('Dana: tell the rescue service by 03:15');
    // That time has passed.
    expect(asked[1]).toContain('Dana: tell the rescue service now what was heard');
  });

  it('stands while nothing is heard: there is nothing to stand down', async () => {
    const w = await called();
    const reply = await w.say('dana', '/overdue resolve how:"the rescue service knows"');
    expect(reply).toMatchObject({ refused: true, code: 'no-alarm' });
  });
});
