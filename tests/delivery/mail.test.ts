/** Mail through nodemailer to a real SMTP server. Reply codes: RFC 5321, 4.2.1 and 4.2.3. */
import ICAL from 'ical.js';
import { describe, expect, it, onTestFinished } from 'vitest';
import { renderNotice } from '../../src/alarm/render.ts';
import { createMail, type MailSettings } from '../../src/delivery/mail.ts';
import type { Envelope } from '../../src/delivery/ports.ts';
import { systemClock } from '../../src/system/clock.ts';
import { DAWN_MS, departed, HOUR } from '../alarm/trip.ts';
import { deadPort, type Mood, silentServer, smtpServer } from './smtp.ts';
import { TEST_ONLY_STRANGER, TEST_ONLY_PAIR as tls } from './test-only-keys.ts';

const dana = { address: 'dana@example.org', name: 'Dana' };

function mailTo(port: number, more: Partial<MailSettings> = {}) {
  const mail = createMail(
    {
      host: '127.0.0.1',
      port,
      implicitTls: false,
      startTls: 'whenOffered',
      from: 'tagline <watch@example.org>',
      ca: tls.cert,
      ...more,
    },
    systemClock(),
  );
  onTestFinished(() => mail.close());
  return mail;
}

const plain: Envelope = {
  message: { subject: 'Harrow Tower: no word yet', lines: ['No word yet.', 'Please try them.'] },
  trip: 'tr1p0001',
  nonce: 'AxQeIXs3jf6cnvW9dOuvTALZ',
  nowMs: DAWN_MS,
};

describe('a server that takes mail', () => {
  it('gets plain text first, with a stable id, marked as sent by a machine', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    expect(await mailTo(port).email(dana, plain)).toMatchObject({ ok: true });
    const [one] = arrived;
    expect(one?.to).toEqual(['dana@example.org']);
    expect(one?.mail.subject).toBe('Harrow Tower: no word yet');
    expect(one?.mail.text?.trim()).toBe('No word yet.\nPlease try them.');
    expect(one?.mail.html).toBe(false);
    expect(one?.mail.messageId).toBe(`<${plain.nonce}@example.org>`);
    expect(one?.mail.date?.getTime()).toBe(DAWN_MS);
    // RFC 3834, 5: keeps out-of-office answers away.
    expect(one?.mail.headers.get('auto-submitted')).toBe('auto-generated');
  });

  it('gets where a contact leaves by one press, for the mail program and for the reader', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    const leave = 'https://tagline.example.org/a/tr1p0001/0a';
    await mailTo(port).email(dana, { ...plain, leave });
    // RFC 2369, 3.2, and RFC 8058, 3.1, as mailparser reads them.
    const list = arrived[0]?.mail.headers.get('list') as Record<string, { url?: string }>;
    expect(list.unsubscribe?.url).toBe(leave);
    const lines = arrived[0]?.mail.headerLines.map(({ line }) => line) ?? [];
    expect(lines).toContain('List-Unsubscribe-Post: List-Unsubscribe=One-Click');
    expect(arrived[0]?.mail.text).toContain(`To be contact no more, by one press:\n${leave}`);
    // RFC 8058, 3.1: the address must be of https; elsewhere the press is not offered.
    await mailTo(port).email(dana, { ...plain, nonce: 'b', leave: 'http://127.0.0.1:1/a/t/0a' });
    const plainLines = arrived[1]?.mail.headerLines.map(({ key }) => key);
    expect(plainLines).toContain('list-unsubscribe');
    expect(plainLines).not.toContain('list-unsubscribe-post');
  });

  it('asks somebody with a page where there is one, else with a code for who asks', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    const url = 'https://tagline.example.org/a/tr1p0001/0b';
    await mailTo(port).email(dana, { ...plain, asked: { code: 'K7QF-2MXD', url } });
    await mailTo(port).email(dana, { ...plain, nonce: 'b', asked: { code: 'K7QF-2MXD' } });
    expect(arrived[0]?.mail.text).toContain(url);
    expect(arrived[0]?.mail.text).not.toContain('K7QF');
    expect(arrived[1]?.mail.text).toContain('they type it in: K7QF-2MXD');
  });

  it('is spoken to in TLS when it offers STARTTLS, with our name and password inside', async () => {
    const { port, arrived } = await smtpServer({
      ...tls,
      authOptional: false,
      onAuth({ username, password }, _session, done) {
        const right = username === 'watch' && password === 'let me in';
        done(right ? null : new Error('no'), right ? { user: username } : undefined);
      },
    });
    const mail = mailTo(port, { startTls: 'required', user: 'watch', password: 'let me in' });
    expect(await mail.check()).toBeUndefined();
    expect(await mail.email(dana, plain)).toMatchObject({ ok: true });
    expect(arrived[0]).toMatchObject({ secure: true, user: 'watch' });
  });

  it('is spoken to in TLS from the first byte where that is set', async () => {
    const { port, arrived } = await smtpServer({ ...tls, secure: true });
    const mail = mailTo(port, { implicitTls: true });
    expect(await mail.email(dana, plain)).toMatchObject({ ok: true });
    expect(arrived[0]?.secure).toBe(true);
  });

  it('gets the calendar as a part of its own, with its method, and the sheet as a text file', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    const { state } = departed();
    const about = { kind: 'plan', seq: state.seq, departed: true } as const;
    const options = { nowMs: DAWN_MS, organizer: 'watch@example.org' };
    const rendered = renderNotice(state, { to: 'dana', what: about }, options);
    if (!('send' in rendered)) throw new Error('nothing to send');
    const sent = await mailTo(port).email(dana, { ...plain, message: rendered.send });
    expect(sent).toMatchObject({ ok: true });
    // RFC 6047, 2.4: text/calendar with the method of the file in it.
    expect(arrived[0]?.raw).toMatch(
      /Content-Type: text\/calendar; charset=utf-8;\s+method=PUBLISH/i,
    );
    expect(
      arrived[0]?.raw.match(/Content-Type: (?:text\/calendar|application\/ics)/gi),
    ).toHaveLength(1);
    const file = arrived[0]?.mail.attachments.find((a) => a.filename === 'harrow-tower.ics');
    const calendar = new ICAL.Component(ICAL.parse(file?.content.toString('utf8') ?? ''));
    expect(calendar.getFirstPropertyValue('method')).toBe('PUBLISH');
    expect(arrived[0]?.mail.text).toMatch(/Everyone down by (?:Thu )?22:00/);
  });

  it('gets no header or line that somebody slipped into a name', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    const message = {
      subject: 'Tower\r\nBcc: eve@example.org',
      lines: ['One\r\n.\r\nMAIL FROM:<eve@example.org>', 'two'],
    };
    const to = { address: 'dana@example.org', name: 'Dana\r\nBcc: eve@example.org' };
    await mailTo(port).email(to, { ...plain, message });
    expect(arrived).toHaveLength(1);
    expect(arrived[0]?.to).toEqual(['dana@example.org']);
    expect(arrived[0]?.mail.bcc).toBeUndefined();
    expect(arrived[0]?.mail.text).toContain('One . MAIL FROM');
  });
});

describe('a mail', () => {
  const open = { disabledCommands: ['STARTTLS', 'AUTH'] };

  it('is sent once though it is asked for again while its last answer is awaited, and after it', async () => {
    let answer: (() => void) | undefined;
    const hung = new Promise<void>((resolve) => {
      answer = resolve;
    });
    let taken = 0;
    const { port } = await smtpServer({
      ...open,
      onData(stream, _session, done) {
        stream.resume();
        stream.on('end', () => {
          taken += 1;
          void hung.then(() => done());
        });
      },
    });
    const mail = mailTo(port);
    const first = mail.email(dana, plain);
    while (taken === 0) await new Promise((go) => setTimeout(go, 10));
    const second = mail.email(dana, plain);
    answer?.();
    expect(await first).toMatchObject({ ok: true });
    expect(await second).toEqual(await first);
    expect(await mail.email(dana, plain)).toEqual(await first);
    expect(taken).toBe(1);
  });

  /** RFC 5321, 4.5.3.2.6: giving up soon after the end of the text makes copies of a mail. */
  it('that is answered late is not sent again, and holds nobody up meanwhile', async () => {
    const answers: (() => void)[] = [];
    const { port } = await smtpServer({
      ...open,
      onData(stream, _session, done) {
        stream.resume();
        stream.on('end', () => answers.push(() => done()));
      },
    });
    const mail = mailTo(port, { patienceMs: 60 });
    const unanswered = { ok: false, retry: 'later', why: 'mail-unanswered' };
    const first = await mail.email(dana, plain);
    expect(first).toMatchObject(unanswered);
    expect(await mail.email(dana, plain)).toMatchObject(unanswered);
    answers[0]?.();
    // Whoever had given it up hears of it.
    expect(await ('inTheEnd' in first ? first.inTheEnd : undefined)).toMatchObject({ ok: true });
    expect(await mail.email(dana, plain)).toMatchObject({ ok: true });
    expect(answers).toHaveLength(1);
  });

  it('that the server had and lost is sent again', async () => {
    let taken = 0;
    const { port } = await smtpServer({
      ...open,
      onData(stream, _session, done) {
        stream.resume();
        stream.on('end', () => {
          taken += 1;
          if (taken > 1) return done();
          done(Object.assign(new Error('4.3.0 going down'), { responseCode: 421 }));
        });
      },
    });
    const mail = mailTo(port);
    expect(await mail.email(dana, plain)).toMatchObject({ retry: 'later', why: 'smtp-421' });
    expect(await mail.email(dana, plain)).toMatchObject({ ok: true });
    expect(taken).toBe(2);
  });

  it('stands in one thread with the others of its trip, and says how urgent it is', async () => {
    const { port, arrived } = await smtpServer(open);
    const mail = mailTo(port);
    await mail.email(dana, { ...plain, urgency: 5 });
    await mail.email(dana, { ...plain, nonce: 'other', urgency: 0 });
    await mail.email(dana, { ...plain, nonce: 'third', trip: 'tr1p0002', urgency: 1 });
    // RFC 5322, 3.6.4; RFC 4021, 2.1.55.
    const roots = arrived.map((a) => a.mail.inReplyTo);
    expect(roots[0]).toBe(roots[1]);
    expect(roots[2]).not.toBe(roots[0]);
    expect(arrived.map((a) => a.mail.references)).toEqual(roots);
    expect(arrived.map((a) => /^Importance: (\w+)/mu.exec(a.raw)?.[1])).toEqual([
      undefined,
      'high',
      'high',
    ]);
  });
});

describe('a server that does not', () => {
  const greylist: Mood = { code: 451, text: '4.7.1 try again in five minutes' };
  const unknown: Mood = { code: 550, text: '5.1.1 no such mailbox' };

  it('greylisting (451) is tried again later, and then it goes through', async () => {
    const { port, arrived } = await smtpServer({
      recipients: [greylist],
      disabledCommands: ['STARTTLS', 'AUTH'],
    });
    const mail = mailTo(port);
    expect(await mail.email(dana, plain)).toEqual({ ok: false, retry: 'later', why: 'smtp-451' });
    expect(await mail.email(dana, plain)).toMatchObject({ ok: true });
    expect(arrived).toHaveLength(1);
  });

  it.each([
    [unknown, 'smtp-550'],
    [{ code: 552, text: '5.2.2 mailbox full' }, 'smtp-552'],
    [{ code: 554, text: '5.7.1 refused' }, 'smtp-554'],
  ])('a permanent refusal is not tried again: %o', async (mood, why) => {
    const { port } = await smtpServer({
      recipients: [mood],
      disabledCommands: ['STARTTLS', 'AUTH'],
    });
    expect(await mailTo(port).email(dana, plain)).toEqual({ ok: false, retry: 'never', why });
  });

  it('a refusal after the text counts as well', async () => {
    const { port } = await smtpServer({
      afterData: [{ code: 452, text: '4.3.1 no room' }],
      disabledCommands: ['STARTTLS', 'AUTH'],
    });
    expect(await mailTo(port).email(dana, plain)).toMatchObject({
      retry: 'later',
      why: 'smtp-452',
    });
  });

  it('nobody there', async () => {
    const sent = await mailTo(await deadPort()).email(dana, plain);
    expect(sent).toMatchObject({ ok: false, retry: 'later' });
  });

  it('one that takes the call and never speaks is given up', async () => {
    const mail = mailTo(await silentServer(), { stepMs: 150 });
    expect(await mail.email(dana, plain)).toMatchObject({ ok: false, retry: 'later' });
  });

  it('a wrong password is ours to mend and is tried again', async () => {
    const { port } = await smtpServer({
      ...tls,
      authOptional: false,
      onAuth: (_auth, _session, done) => done(new Error('no such user')),
    });
    const mail = mailTo(port, { startTls: 'required', user: 'watch', password: 'wrong' });
    expect(await mail.email(dana, plain)).toEqual({ ok: false, retry: 'later', why: 'mail-login' });
    expect(await mail.check()).toBe('mail-login');
  });

  it('without TLS gets nothing when TLS is required', async () => {
    const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    const sent = await mailTo(port, { startTls: 'required' }).email(dana, plain);
    expect(sent).toEqual({ ok: false, retry: 'later', why: 'mail-tls' });
    expect(arrived).toEqual([]);
  });

  it('with a certificate nobody vouches for gets nothing', async () => {
    const { port, arrived } = await smtpServer({ ...tls });
    const sent = await mailTo(port, { startTls: 'required', ca: TEST_ONLY_STRANGER.cert }).email(
      dana,
      plain,
    );
    expect(sent).toMatchObject({ ok: false, retry: 'later' });
    expect(arrived).toEqual([]);
  });
});

it('the alarm itself reads well in a mail', async () => {
  const { port, arrived } = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
  const dueMs = DAWN_MS + 16 * HOUR;
  const { state } = departed().tell({
    kind: 'watch.raised',
    data: { phase: 'alert', root: 'down', dueMs, to: ['@field', 'dana', 'pal'] },
    told: dueMs + 2 * HOUR,
    by: 'tagline',
  });
  const about = { kind: 'phase', raised: state.seq } as const;
  const options = { nowMs: dueMs + 2 * HOUR, organizer: 'watch@example.org' };
  const rendered = renderNotice(state, { to: 'dana', what: about }, options);
  if (!('send' in rendered)) throw new Error('nothing to send');
  await mailTo(port).email(dana, { ...plain, message: rendered.send });
  const text = arrived[0]?.mail.text ?? '';
  expect(text).toMatch(
    /^Mara, Jonas and Ines are overdue on Harrow Tower\. Expected: everyone down by/,
  );
  expect(text).toMatch(/call the emergency number 112/);
  expect(text).toMatch(/no rescue service/);
  expect(text).not.toMatch(/!/);
  const sheet = arrived[0]?.mail.attachments.find((a) => a.filename === 'sheet-harrow-tower.txt');
  expect(sheet?.content.toString('utf8')).toMatch(/SHEET {2}Harrow Tower/);
});
