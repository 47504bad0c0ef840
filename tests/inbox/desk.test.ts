import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { reachable } from '../../src/alarm/who.ts';
import type { Envelope } from '../../src/delivery/ports.ts';
import { Desk } from '../../src/inbox/desk.ts';
import { lookedAt } from '../../src/inbox/imap.ts';
import { readMail } from '../../src/inbox/incoming.ts';
import { bare } from '../../src/say/message.ts';
import { currentPitch } from '../../src/trip/state.ts';
import { openDemo, type World, world } from '../helpers/world.ts';

let w: World;
let desk: Desk;
let answers: { to: string; text: string; envelope: Envelope }[];

beforeEach(async () => {
  w = await world({ around: () => ({ inbox: 'words+*@tagline.example.org' }) });
  answers = [];
  const { mailAddresses: addresses } = w.app;
  if (addresses === undefined) throw new Error('no addresses');
  desk = new Desk({
    app: w.app,
    addresses,
    email: async ({ address }, envelope) => {
      answers.push({ to: address, text: envelope.message.lines.map(bare).join('\n'), envelope });
      return { ok: true, receipt: 'x' };
    },
  });
  await openDemo(w);
});
afterEach(() => w.close());

const state = async () => (await w.trip()).state;
const addressOf = async (person: string, to = '') =>
  (await w.app.mailAddresses?.address((await state()).id, { person, to })) ?? '';
let count = 0;
async function mail(to: string, text: string, more: Record<string, string> = {}) {
  const headers = {
    from: 'Somebody <device@sat.example.com>',
    to,
    'message-id': `<${++count}@sat.example.com>`,
    ...more,
  };
  const head = Object.entries(headers).map(([k, v]) => `${k}: ${v}`);
  const source = new TextEncoder().encode([...head, '', text].join('\r\n'));
  return desk.take(await readMail(source));
}
const last = () => answers.at(-1);

/** Silent until the alert, which has gone to Dana by mail. */
async function alarm(at = '2031-06-12 20:30'): Promise<void> {
  await w.say('mara', '/checkin plan down:18:00 callout:23:00');
  await w.say('mara', '/trip depart');
  await w.tick();
  w.at(at);
  await w.tick();
}

describe('a party posts by an address with a secret in it', () => {
  it('a pitch, that all are well, and is answered in 140 characters where it wrote from', async () => {
    await w.say('mara', '/trip depart');
    w.at('2031-06-12 09:00');
    const mara = await addressOf('mara');
    expect(await mail(mara, 'P1 done 0855')).toBe('taken');
    expect(currentPitch(await state())?.number).toBe(2);
    expect(last()?.to).toBe('device@sat.example.com');
    expect(last()?.text).toContain('Pitch 1 done');
    await mail(mara, 'all well, at stance 1');
    expect((await state()).watch.signs.at(-1)).toMatchObject({ by: { name: 'Mara' } });
    await mail(mara, 'P4 done 0859');
    expect(last()?.text).toMatch(/^NOT NOTED: /u);
    for (const { text } of answers) expect([...text].length).toBeLessThanOrEqual(140);
  });

  it('a call for help raises the alarm at once, and a second one adds to it', async () => {
    await w.say('mara', '/trip depart');
    w.at('2031-06-12 14:00');
    await mail(await addressOf('ines'), 'HELP leader fell, leg broken, stance 6');
    await w.tick();
    expect(phaseNow(await state())?.phase).toBe('distress');
    expect(w.told.some((t) => t.to === 'Dana' && t.text.includes('leg broken'))).toBe(true);
    await mail(await addressOf('ines'), 'bleeding has stopped, still need help');
    expect((await state()).troubles).toHaveLength(1);
  });

  it('without the secret, or with one that was renewed, nothing is posted and nothing answered', async () => {
    await w.say('mara', '/trip depart');
    const { id, seq } = await state();
    const old = await addressOf('mara');
    await w.say('mara', '/overdue link for:Mara end:yes');
    for (const to of [
      old,
      'words@tagline.example.org',
      `words+${id}.${'0'.repeat(24)}@tagline.example.org`,
      `words+${id}.mara@tagline.example.org`,
    ]) {
      // Whatever name or address it seems to come from.
      const from = 'Mara <dana@example.org>';
      expect(await mail(to, 'all well', { from }), to).toBe('ignored');
    }
    expect([(await state()).seq, answers]).toEqual([seq, []]);
  });

  it('an address that gets a flood has the rest of it wait, and nobody else’s mail', async () => {
    await w.say('mara', '/trip depart');
    const [mara, ines] = [await addressOf('mara'), await addressOf('ines')];
    const looks: string[] = [];
    for (let n = 0; n < 200; n++) looks.push(await desk.knows([mara]));
    expect(looks.filter((l) => l === 'now')).toHaveLength(20);
    expect(looks.at(-1)).toBe('later');
    expect([await desk.knows([ines]), await desk.knows(['words@tagline.example.org'])]).toEqual([
      'now',
      'nobody',
    ]);
    w.clock.advance(60_000);
    expect(await desk.knows([mara])).toBe('now');
    // What is new is looked at first, as it came; of what has waited the last word first.
    const later = new Map([
      [3, 10],
      [4, 10],
      [5, 99],
    ]);
    expect(lookedAt([3, 4, 5, 6, 7], later, 10)).toEqual([6, 7, 4, 3]);
  });

  it('a mail that comes twice is one post', async () => {
    await w.say('mara', '/trip depart');
    const to = await addressOf('mara');
    await mail(to, 'all well', { 'message-id': '<same@x>' });
    const { seq } = await state();
    await mail(to, 'all well', { 'message-id': '<same@x>' });
    expect((await state()).seq).toBe(seq);
    expect(answers[0]?.envelope.nonce).toBe(answers[1]?.envelope.nonce);
  });

  it('what can’t be read is asked back and shown to the channel, for a while', async () => {
    await w.say('mara', '/trip depart');
    const to = await addressOf('mara');
    for (let i = 0; i < 20; i++) await mail(to, `ledge wet <b>${i}</b> @everyone`);
    await w.tick();
    expect(answers[0]?.text).toMatch(/^NOT READ/u);
    const shown = w.told.filter((t) => t.text.includes('was not understood'));
    expect(shown).toHaveLength(6);
    expect(shown.map((t) => t.text).join()).toContain('Mara wrote by mail: “ledge wet <b>0</b>');
  });
});

describe('a contact answers a mail', () => {
  const dana = () => addressOf('dana', 'dana@example.org');

  it('takes the alarm in hand, and is answered at their own address whoever wrote', async () => {
    await alarm();
    await mail(await dana(), 'OK\n\nOn Thu tagline wrote:\n> called');
    expect((await state()).watch.acks.at(-1)).toMatchObject({ person: 'dana' });
    expect(last()?.to).toBe('dana@example.org');
    expect(last()?.text).toContain('Noted. No reminders to you');
  });

  it('has called the rescue service; then they are well; then the service knows', async () => {
    await alarm('2031-06-12 23:05');
    const to = await dana();
    await mail(to, 'I have called 112');
    expect((await state()).watch.called).toHaveLength(1);
    await mail(to, 'They are well');
    expect(phaseNow(await state())).toBeUndefined();
    expect(last()?.text).toContain('rescue service');
    await mail(to, 'THE RESCUE SERVICE KNOWS');
    expect((await state()).watch.stoodDown).toHaveLength(1);
  });

  it('that told how the alarm ended says by it that the rescue service knows', async () => {
    await alarm('2031-06-12 23:05');
    const to = await dana();
    await mail(to, 'CALLED');
    await w.say('mara', '/checkin ok');
    await w.tick();
    const end = w.told.findLast((t) => t.to === 'Dana' && t.way === 'email');
    expect(end?.text).toContain('The alarm is over');
    await mail(to, 'THE RESCUE SERVICE KNOWS', {
      'in-reply-to': `<${end?.envelope.nonce}@tagline.example.org>`,
    });
    expect((await state()).watch.stoodDown).toHaveLength(1);
  });

  it('that belongs to an alarm that is over does nothing, as its button would', async () => {
    await alarm();
    const sent = w.told.find((t) => t.to === 'Dana' && t.envelope.urgency === 1);
    const reference = `<${sent?.envelope.nonce}@tagline.example.org>`;
    await w.say('mara', '/checkin ok');
    await w.tick();
    const { seq } = await state();
    await mail(await dana(), 'called', { 'in-reply-to': reference });
    expect((await state()).seq).toBe(seq);
    expect(last()?.text).toMatch(/over|ended|stands/u);
  });

  it('that answers what came before the alarm speaks of no alarm, and is asked back', async () => {
    await alarm();
    const left = w.told.find((t) => t.to === 'Dana' && t.text.includes('have left for'));
    const to = await dana();
    const older = { 'in-reply-to': `<${left?.envelope.nonce}@tagline.example.org>` };
    for (const words of ['OK', 'called', 'They are well', 'The rescue service knows']) {
      const { seq } = await state();
      await mail(to, words, older);
      expect((await state()).seq, words).toBe(seq);
      expect(last()?.text, words).toContain('an older message');
    }
    // What asks back is answered, and then it is meant.
    await mail(to, 'OK', { 'in-reply-to': '<another@tagline.example.org>' });
    expect((await state()).watch.acks.at(-1)).toMatchObject({ person: 'dana' });
  });

  it('to a rehearsal that was answered before is no word about the alarm that stands', async () => {
    const to = await dana();
    await w.say('mara', '/checkin drill who:Dana');
    await w.tick();
    const drill = w.told.find((t) => t.to === 'Dana' && t.text.includes('REHEARSAL'));
    const reference = { 'in-reply-to': `<${drill?.envelope.nonce}@tagline.example.org>` };
    await mail(to, 'OK', reference);
    expect((await state()).watch.drills[0]?.ackedAtMs).toBeDefined();
    await mail(to, 'OK', reference);
    expect(last()?.text).toContain('No alarm stands');
    await alarm();
    await mail(to, 'OK', reference);
    expect((await state()).watch.acks).toEqual([]);
    expect(last()?.text).toContain('Press the button of that');
  });

  it('a word that all are well ends the alarm it answers, and no later one', async () => {
    await alarm();
    const sent = w.told.find((t) => t.to === 'Dana' && t.envelope.urgency === 1);
    const reference = { 'in-reply-to': `<${sent?.envelope.nonce}@tagline.example.org>` };
    await w.say('mara', '/checkin ok');
    await w.say('mara', '/checkin plan once:21:00');
    w.at('2031-06-12 23:05');
    await w.tick();
    const stands = phaseNow(await state());
    expect(stands).toBeDefined();
    await mail(await dana(), 'They are well', reference);
    expect(phaseNow(await state())).toEqual(stands);
  });

  it('and a program that answers for them has read nothing (RFC 3834)', async () => {
    await alarm();
    const { seq } = await state();
    const to = await dana();
    for (const more of [
      { 'auto-submitted': 'auto-replied' },
      { 'auto-submitted': 'auto-generated; owner-email="dana@example.org"' },
      { 'return-path': '<>' },
      { precedence: 'bulk' },
      { 'content-type': 'multipart/report; report-type=delivery-status; boundary=x' },
    ]) {
      expect(await mail(to, 'OK', more as Record<string, string>)).toBe('ignored');
    }
    expect([(await state()).seq, answers]).toEqual([seq, []]);
  });

  it('what could mean something else is asked back', async () => {
    await alarm();
    const { length } = (await state()).watch.called;
    await mail(await dana(), 'called Mara, no answer');
    expect((await state()).watch.called).toHaveLength(length);
    expect(last()?.text).toContain('That was not understood, so nothing was done');
    expect(last()?.text).toContain('CALLED: you have called the rescue service');
  });

  it('says yes by it to being contact, and leaves by it', async () => {
    await w.say('mara', '/roster add name:Edda role:contact email:edda@example.org ways:email');
    const to = await addressOf('edda', 'edda@example.org');
    await mail(to, 'Yes');
    expect(reachable(await state()).map((p) => p.name)).toEqual(['Dana', 'Edda']);
    await mail(to, 'no');
    expect(reachable(await state())).toHaveLength(2);
    await mail(to, 'leave');
    expect(reachable(await state()).map((p) => p.name)).toEqual(['Dana']);
  });
});

it('each gets their address privately, and only their own', async () => {
  const own = await w.say('mara', '/overdue link for:Mara');
  expect(own.private).toBe(true);
  expect(JSON.stringify(own.lines)).toContain(await addressOf('mara'));
  expect((await w.say('jonas', '/overdue link for:Mara')).code).toBe('not-yours');
});

it('a mail says how it is answered', async () => {
  await alarm('2031-06-12 23:05');
  const { envelope } = w.told.filter((t) => t.to === 'Dana' && t.way === 'email').at(-1) ?? {};
  expect(envelope?.replyTo).toBe(await addressOf('dana', 'dana@example.org'));
});
