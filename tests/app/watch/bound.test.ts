/** A button belongs to one alarm, one plan, one step: pressed when that is over, it says so and does nothing. */
import { describe, expect, it } from 'vitest';
import { text } from '../../helpers/world.ts';
import { must, play } from './play.ts';

describe('a button of an earlier step', () => {
  it('[I’ve got it] of the alert doesn’t silence distress', async () => {
    const w = await play();
    await w.upTo('2031-06-13 02:00');
    const old = await w.press('dana', "I've got it", { to: 'dana', about: 'please act' });
    expect(old).toMatchObject({ refused: true, code: 'button-over' });
    expect(text(old)).toMatch(
      /^That button belongs to an earlier step; nothing is changed\.\nSince 02:00 the rescue service is to be called\./,
    );
    expect((await w.trip()).state.watch.acks).toEqual([]);
    // Its answer has the button that holds now.
    expect((await w.pressOn('dana', old, "I've got it")).refused).toBeUndefined();
  });

  it('[They are fine] of the alert doesn’t end distress', async () => {
    const w = await play();
    await w.upTo('2031-06-13 02:00');
    const old = await w.press('dana', 'They are fine', { to: 'dana', about: 'please act' });
    expect(old.code).toBe('button-over');
    expect((await w.trip()).state.watch.signs).toHaveLength(1);
    expect((await w.press('dana', 'They are fine')).refused).toBeUndefined();
  });

  it('of an alarm that is over says so', async () => {
    const w = await play();
    await w.upTo('2031-06-13 00:10');
    await must(w, 'greta', '/checkin ok words:"seen on the ledge"');
    for (const label of ["I've got it", 'They are fine']) {
      const late = await w.press('dana', label, { to: 'dana', nth: 0 });
      expect(text(late)).toMatch(/^That alarm is over; nothing is changed\.\nLast heard 00:10/);
    }
  });

  it('of a trouble that is over doesn’t end another', async () => {
    const w = await play();
    await must(w, 'mara', '/trouble report what:"Ines fell, leg hurt"');
    await w.tick();
    await must(w, 'mara', '/trouble over said:"Ines walks again, seen by Mara"');
    await must(w, 'mara', '/trouble report what:"Jonas has a broken arm"');
    const old = w.told.find((t) => t.to === 'Dana' && t.text.includes('Ines fell'));
    const button = old?.envelope.message.buttons?.find((b) => b.label === 'The trouble is over');
    expect(button?.press.options).toMatchObject({
      trouble: (await w.trip()).state.troubles[0]?.seq,
    });
    const late = await w.press('dana', 'The trouble is over', { to: 'dana', nth: 0 });
    expect(late.refused).toBe(true);
  });
});

describe('a button that names a time', () => {
  /** Asked an hour before the call-out time whether it holds. */
  async function asked() {
    const w = await play('callout:22:00');
    await w.upTo('2031-06-12 21:00');
    await w.tick();
    expect(w.told.map((t) => t.text).join('\n')).toContain('The call-out time is agreed for 22:00');
    return w;
  }

  it('moves it while the plan is as it was', async () => {
    const w = await asked();
    expect((await w.press('mara', 'Move to', { to: 'channel' })).refused).toBeUndefined();
  });

  it('does nothing once the plan has changed', async () => {
    const w = await asked();
    await must(w, 'mara', '/checkin plan callout:21:45');
    const old = await w.press('mara', 'Move to', { to: 'channel' });
    expect(old.code).toBe('button-over');
    expect(text(old)).toContain('The times have changed since that was asked; nothing is changed.');
    expect(text(old)).toContain('Call-out time 21:45.');
  });

  it('isn’t offered to a party that retreats, waits or is in trouble', async () => {
    for (const line of [
      '/retreat begin',
      '/pitch break wait:23:30',
      '/trouble report what:"Ines fell, leg hurt" wants:cope',
    ]) {
      const w = await play('callout:22:00');
      await w.upTo('2031-06-12 20:00');
      const count = w.told.length;
      const told = await w.say('mara', line);
      expect(told.refused, `${line}\n${text(told)}`).toBeUndefined();
      await w.upTo('2031-06-12 21:10');
      const offers = w.told.slice(count).flatMap((t) => t.envelope.message.buttons ?? []);
      expect(offers.filter((b) => b.label.startsWith('Move to'))).toEqual([]);
    }
  });
});

describe('of two troubles of different steps', () => {
  it('the end of the graver one is told to whoever knows of it, though the other stands', async () => {
    const w = await play();
    await must(w, 'mara', '/trouble report what:"Jonas cut his hand" wants:cope');
    await w.tick();
    await must(w, 'mara', '/trouble report what:"Ines fell, leg hurt" wants:callout');
    await w.tick();
    w.news();
    const which = await w.say('mara', '/trouble over said:"Ines walks again, seen by Mara"');
    const label =
      (which.buttons ?? []).map((b) => b.label).find((l) => l.includes('Ines fell')) ?? '';
    expect((await w.pressOn('mara', which, label)).refused).toBeUndefined();
    expect((await w.trip()).state.troubles.filter((t) => t.over !== undefined)).toHaveLength(1);
    await w.tick();
    const news = w.news();
    expect(news.filter((n) => n.startsWith('Dana: '))).not.toEqual([]);
  });
});
