/** Whoever of the party says anything at all is asked first whether they are well. */
import { describe, expect, it } from 'vitest';
import { must, play } from './play.ts';

describe('a climber during the alarm about the party', () => {
  it.each([
    '/topout',
    '/rain show',
    '/lead next',
    '/shuttle next',
    '/overdue show',
    '/pitch strike entry:999',
  ])('asking %s is told of it and offered [We are well] first', async (line) => {
    const w = await play();
    await w.upTo('2031-06-13 00:10');
    await w.press('dana', "I've got it");
    const reply = await w.say('jonas', line);
    expect(reply.buttons?.[0]?.label).toBe('We are well');
    const words = await w.line('jonas', line);
    expect(words).toMatch(
      /^An alarm stands about you: everyone down by Thu 22:00, and nothing was heard\./,
    );
    expect(words).toContain('Told at home: Dana (that you are overdue, has it in hand).');
  });

  it('presses it, and the alarm is over', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:10');
    const reply = await w.say('jonas', '/topout');
    await w.pressOn('jonas', reply, 'We are well');
    await w.tick();
    expect(w.news().join()).toContain('The alarm is over.');
  });

  it('posts a pitch, which ends it, and hears what was started at home', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:10');
    const words = await w.line('mara', '/pitch done number:1');
    expect(words).toContain('With this word the alarm is over.');
    expect(words).toContain('Told at home: Dana (that you are overdue).');
  });

  it('after a trouble that is over, no later word claims to have ended it', async () => {
    const w = await play();
    w.at('2031-06-12 10:00');
    await must(w, 'mara', '/trouble report what:"a hurt knee" who:Jonas');
    await w.upTo('2031-06-12 11:00');
    await must(w, 'mara', '/trouble over said:"Mara: a bruise"');
    w.at('2031-06-12 11:30');
    const words = await w.line('mara', '/pitch done number:1');
    expect(words).toContain('Pitch 1 done');
    expect(words).not.toContain('the alarm is over');
  });

  it('is not said to ground crew or a contact, who can’t say it', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:10');
    for (const who of ['greta', 'dana']) {
      expect(await w.line(who, '/topout')).not.toContain('An alarm stands about you');
    }
  });
});

describe('ahead of a promised time', () => {
  it('the party is reminded, and can say a word or move it', async () => {
    const w = await play();
    await w.upTo('2031-06-12 21:30');
    const ahead = w.news().find((t) => t.includes('a word is due soon'));
    expect(ahead).toContain('Due in 30 min: everyone down by 22:00.');
    const labels = w.told.at(-1)?.envelope.message.buttons?.map((b) => b.label);
    expect(labels).toEqual(['We are well', 'Move it']);
  });

  it('not when it was heard from just now, nor about what is set for the next half hour', async () => {
    const w = await play('callout:"tomorrow 02:00"');
    w.at('2031-06-12 17:40');
    await must(w, 'mara', '/checkin plan once:18:00');
    await w.upTo('2031-06-12 17:59');
    expect(w.news().filter((t) => t.includes('due soon'))).toEqual([]);
  });
});

describe('settling for the night', () => {
  it('in the evening is the night’s check-in, and says so', async () => {
    const w = await play('nightly:21:00 callout:"14 Jun 20:00"');
    w.at('2031-06-12 18:30');
    const reply = await w.line('mara', '/bivy settle until:05:30');
    expect(reply).toContain('This is the check-in of 21:00 as well: no other word is due then.');
    await w.upTo('2031-06-13 06:00');
    expect(w.news()).toEqual([]);
  });

  it('in the afternoon is not', async () => {
    const w = await play('nightly:21:00 callout:"14 Jun 20:00"');
    w.at('2031-06-12 16:30');
    expect(await w.line('mara', '/bivy settle')).not.toContain('check-in of');
    await w.upTo('2031-06-12 21:31');
    expect(w.news().join()).toContain('No word yet');
  });
});
