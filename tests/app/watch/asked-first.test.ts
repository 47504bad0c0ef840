import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { phaseNow } from '../../../src/alarm/ladder.ts';
import { reachable } from '../../../src/alarm/who.ts';
import { boardOf } from '../../../src/app/board/content.ts';
import { openDemo, type Told, text, type World, world } from '../../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

/** The party of the scenario with Dana at home, who was asked and has not answered. */
async function asked(): Promise<void> {
  await openDemo(w);
  await w.tick();
  await w.say('mara', '/roster remove who:Dana');
  await w.say('mara', '/roster add name:Edda role:contact email:edda@example.org');
  w.told.length = 0;
  await w.tick();
}

const to = (name: string): Told[] => w.told.filter((t) => t.to === name);
const state = async () => (await w.trip()).state;
const say = async (who: string, line: string) => text(await w.say(who, line));
const out = async (callout = '23:00') => {
  await w.say('mara', `/checkin plan down:18:00 callout:${callout}`);
  return say('mara', '/trip depart');
};

describe('a contact is asked first', () => {
  it('gets one message by each way, with no words of anybody but names', async () => {
    await w.say('mara', '/trip open name:"Win! http://evil.example/x" zone:Europe/Oslo');
    await w.say('mara', '/roster add name:"Call +1 555, <b>now</b>" role:contact email:a@b.org');
    await w.tick();
    const mails = w.told.filter((t) => t.way === 'email');
    expect(mails).toHaveLength(1);
    expect(mails[0]?.text).not.toMatch(/https?:|[<>@+]|evil\.example/u);
    expect(mails[0]?.text).toContain('“Win http evil example x”');
    expect(mails[0]?.text).toContain('Call 1 555 b now b');
    await w.tick();
    expect(w.told.filter((t) => t.way === 'email')).toHaveLength(1);
  });

  it('is not rehearsed, not told of the departure and not of an alarm before they say yes', async () => {
    await asked();
    expect(reachable(await state())).toEqual([]);
    expect(await say('mara', '/checkin drill')).toContain('Edda has not said yes');
    expect(await out()).toContain(
      'Warning: NOBODY AT HOME IS TOLD if you are late: Edda has not confirmed. Call them before you go. ' +
        'To ask once more: /checkin contact answer:again for:Edda',
    );
    w.told.length = 0;
    w.at('2031-06-12 20:30');
    await w.tick();
    expect(phaseNow(await state())?.phase).toBe('alert');
    expect(w.told.map((t) => t.to)).not.toContain('Edda');
  });

  it('and that stands on the board of a party that is out, until somebody has said yes', async () => {
    await asked();
    await out();
    const board = async () => text(boardOf(await state(), undefined, w.clock.wallMs()));
    expect(await board()).toContain(
      'NOBODY AT HOME is told if this party is late: Edda has not confirmed.',
    );
    await w.say('edda', '/checkin contact answer:yes');
    expect(await board()).not.toContain('NOBODY');
    w.told.length = 0;
    await w.tick();
    // They hear the times that everybody else heard at the departure.
    expect(to('Edda')[0]?.text).toContain('have left for Harrow Tower');
  });

  it('who says no: the channel hears it, and the board no longer waits for them', async () => {
    await asked();
    await out();
    await w.tick();
    w.told.length = 0;
    await w.say('edda', '/checkin contact answer:no');
    await w.tick();
    expect(w.told.map((t) => [t.way, t.text])).toEqual([
      ['channel', expect.stringContaining('Edda has said no to being contact')],
    ]);
    expect(text(boardOf(await state(), undefined, w.clock.wallMs()))).toContain(
      'NOBODY AT HOME is told if this party is late: Edda has said no.',
    );
  });

  it('says yes with the code of the mail, passed on by phone', async () => {
    await asked();
    const { state: now } = await w.trip();
    const way = { person: 'edda', way: 'email', to: 'edda@example.org' } as const;
    const code = w.app.invitations.code(now.id, way);
    expect(to('Edda').find((t) => t.way === 'email')?.envelope.asked).toEqual({ code });
    expect(await say('mara', '/checkin contact answer:yes for:Edda')).toContain('Only a contact');
    expect(await say('mara', '/checkin contact answer:yes for:Edda code:AAAA-AAAA')).toContain(
      'not the code',
    );
    const typed = code.replace('-', ' ').toLowerCase();
    expect(await say('mara', `/checkin contact answer:yes for:Edda code:"${typed}"`)).toContain(
      'Edda is contact now.',
    );
    expect(reachable(await state()).map((p) => p.name)).toEqual(['Edda']);
  });

  it('another address is asked anew, and nothing goes there before', async () => {
    await openDemo(w);
    await w.say('mara', '/roster edit who:Dana email:someone-else@example.org ways:email');
    expect(reachable(await state())).toEqual([]);
    await w.tick();
    w.told.length = 0;
    await out();
    await w.tick();
    expect(to('Dana')).toEqual([]);
  });

  it('of an older release has agreed: no update leaves a party without its contact', async () => {
    await openDemo(w);
    const { row } = await w.trip();
    const old = (await w.store.events(row.id)).filter((e) => !e.kind.startsWith('contact.'));
    const { fold } = await import('../../../src/trip/fold.ts');
    const { readFacts } = await import('../../../src/trip/read.ts');
    const facts = readFacts(old);
    if (!facts.ok) throw new Error(facts.why);
    expect(reachable(fold(row.id, facts.value)).map((p) => p.name)).toEqual(['Dana']);
  });
});

describe('when nobody at home has agreed and it comes to distress', () => {
  it('who was asked and kept silent is told once, without the sheet, and hears how it ended', async () => {
    await asked();
    await out();
    w.at('2031-06-12 23:01');
    w.told.length = 0;
    await w.tick();
    const mails = to('Edda').filter((t) => t.way === 'email');
    expect(mails).toHaveLength(1);
    expect(mails[0]?.text).toContain('you were asked to be contact for Mara');
    expect(mails[0]?.text).toContain('call the emergency number 112');
    expect(mails[0]?.envelope.message.files).toBeUndefined();
    w.at('2031-06-13 06:00');
    await w.tick();
    expect(to('Edda').filter((t) => t.way === 'email')).toHaveLength(1);
    await w.say('mara', '/checkin ok');
    await w.tick();
    expect(to('Edda').filter((t) => t.way === 'email')).toHaveLength(2);
    expect(to('Edda').at(-1)?.text).toContain('alarm over');
    // However often it is taken back and told anew, and whatever alarm comes later.
    const { state: now } = await w.trip();
    await w.say('mara', `/pitch strike entry:${now.seq}`);
    await w.say('mara', '/checkin ok');
    await w.tick();
    await w.say('mara', '/checkin plan callout:07:00');
    w.at('2031-06-13 08:00');
    await w.tick();
    expect(to('Edda').filter((t) => t.way === 'email')).toHaveLength(2);
  });

  it('a yes then brings all of it at once', async () => {
    await asked();
    await out();
    w.at('2031-06-12 23:01');
    await w.tick();
    w.told.length = 0;
    await w.say('edda', '/checkin contact answer:yes');
    await w.tick();
    const alarm = to('Edda').find((t) => t.text.includes('call 112 now'));
    expect(alarm?.envelope.message.files?.[0]?.name).toContain('sheet');
  });

  it('in trouble says that, in our words and no others', async () => {
    await asked();
    await out();
    await w.say('mara', '/trouble report who:Jonas what:"broken hand, see http://bad.example"');
    await w.tick();
    const said = to('Edda').at(-1)?.text ?? '';
    expect(said).toContain('The party on Harrow Tower');
    expect(said).toContain('needs help');
    expect(said).toContain('Jonas: hurt');
    expect(said).toContain('Call the emergency number 112');
    expect(said).not.toMatch(/not back|Somebody should have heard|bad\.example/u);
  });

  it('a yes by two ways at once brings the alarm once by each', async () => {
    await openDemo(w);
    await w.say('mara', '/roster remove who:Dana');
    await w.say('mara', '/roster add name:Edda role:contact email:edda@example.org');
    await out();
    w.at('2031-06-12 23:01');
    await w.tick();
    w.told.length = 0;
    await w.say('edda', '/checkin contact answer:yes');
    await w.tick();
    const alarms = to('Edda').filter((t) => t.text.includes('call 112 now'));
    expect(alarms.map((t) => t.way).sort()).toEqual(['dm', 'email']);
  });

  it('who has said no hears nothing', async () => {
    await asked();
    await w.say('edda', '/checkin contact answer:no');
    const warned = await out();
    expect(warned).toContain('Edda has said no. To ask somebody else: /roster add');
    expect(warned).not.toContain('answer:again');
    w.told.length = 0;
    w.at('2031-06-12 23:01');
    await w.tick();
    expect(to('Edda')).toEqual([]);
    expect(w.told.some((t) => t.way === 'channel')).toBe(true);
  });
});

describe('a no', () => {
  it('holds for every trip of this installation, until it is taken back', async () => {
    await asked();
    await w.say('edda', '/checkin contact answer:no');
    await w.say('mara', '/trip close');
    w.told.length = 0;
    await w.say('ines', '/trip open name:Another zone:Europe/Oslo');
    const answer = await say('ines', '/roster add name:E role:contact email:Edda@Example.org');
    expect(answer).toContain('wants no messages by e-mail');
    await w.tick();
    expect(w.told.filter((t) => t.way === 'email')).toEqual([]);
  });

  it('of a contact whose party is out is asked back, and told to the party', async () => {
    await openDemo(w);
    await out();
    const asks = await w.say('dana', '/checkin contact answer:no');
    expect(text(asks)).toContain('NOBODY at home is told');
    expect(reachable(await state())).toHaveLength(1);
    w.told.length = 0;
    await w.say('dana', '[Leave all the same]');
    await w.tick();
    expect(reachable(await state())).toEqual([]);
    const inChannel = w.told.filter((t) => t.way === 'channel').map((t) => t.text);
    expect(inChannel.join()).toContain('NOBODY at home is told now');
  });
});
