/**
 * The contact's side by mail alone, without any page: what is sent goes through a real SMTP server, what they answer
 * through a real IMAP server, each answer as mail programs write it (RFC 5322, 3.6.4; what was answered is quoted).
 */
import { setTimeout as wait } from 'node:timers/promises';
import type { ParsedMail } from 'mailparser';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { watchParts } from '../../src/app/watch/parts.ts';
import { Watch } from '../../src/delivery/loop.ts';
import { createMail } from '../../src/delivery/mail.ts';
import { Desk } from '../../src/inbox/desk.ts';
import { Inbox } from '../../src/inbox/imap.ts';
import { systemClock } from '../../src/system/clock.ts';
import { smtpServer, type TestServer } from '../delivery/smtp.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { dovecot, hasDovecot, type MailServer, NO_DOVECOT } from './dovecot.ts';

if (!hasDovecot && process.env.CI === 'true') throw new Error(NO_DOVECOT);

describe.skipIf(!hasDovecot)(hasDovecot ? 'by mail alone' : NO_DOVECOT, () => {
  let w: World;
  let post: TestServer;
  let box: MailServer;
  let watch: Watch;
  let off: AbortController;
  let running: Promise<void>;

  beforeEach(async () => {
    w = await world({ around: () => ({ inbox: 'words+*@example.org' }) });
    post = await smtpServer({ disabledCommands: ['STARTTLS', 'AUTH'] });
    box = await dovecot();
    const mail = createMail(
      {
        host: '127.0.0.1',
        port: post.port,
        implicitTls: false,
        startTls: 'whenOffered',
        from: 'tagline <watch@example.org>',
      },
      systemClock(),
    );
    const sent = async () => ({ ok: true, receipt: 'x' }) as const;
    watch = new Watch(
      watchParts(w.app, {
        owner: 'test/1/1',
        ways: { email: mail.email, channel: sent },
        organizer: 'watch@example.org',
      }),
    );
    const { mailAddresses: addresses } = w.app;
    if (addresses === undefined) throw new Error('no addresses');
    const desk = new Desk({ app: w.app, addresses, email: mail.email });
    const { port, user, password } = box;
    const server = { host: '127.0.0.1', port, implicitTls: false, mustTls: false, user, password };
    off = new AbortController();
    running = new Inbox(
      { ...server, mailbox: 'INBOX' },
      { desk, clock: systemClock(), log: w.app.log },
    ).run(off.signal);
    await openDemo(w);
    await say('/roster remove who:Dana');
  });
  afterEach(async () => {
    off.abort();
    await running;
    await box.stop();
    await w.close();
  });

  async function say(line: string): Promise<void> {
    const reply = await w.say('mara', line);
    if (reply.refused) throw new Error(`${line}: ${text(reply)}`);
  }
  const at = async (local: string) => {
    w.at(local);
    await watch.tick();
  };
  const newest = (): ParsedMail => {
    const one = post.arrived.at(-1)?.mail;
    if (one === undefined) throw new Error('no mail came');
    return one;
  };

  /** Answers the newest mail, and waits for what comes back. */
  async function answer(words: string): Promise<string> {
    const mail = newest();
    const to = mail.replyTo?.value[0]?.address;
    const quoted = (mail.text ?? '').split('\n').map((line) => `> ${line}`);
    const before = post.arrived.length;
    await box.deliver(
      [
        'From: Edda <edda@example.org>',
        `To: ${to}`,
        `Subject: Re: ${mail.subject}`,
        `Message-ID: <reply-${before}@example.org>`,
        `In-Reply-To: ${mail.messageId}`,
        `References: ${mail.messageId}`,
        'MIME-Version: 1.0',
        'Content-Type: text/plain; charset=utf-8',
        '',
        words,
        '',
        'On Thu, Jun 12, 2031 at 6:31 PM tagline <watch@example.org> wrote:',
        ...quoted,
      ].join('\r\n'),
    );
    for (let tries = 0; post.arrived.length === before; tries++) {
      if (tries === 400) throw new Error(`no answer to: ${words}`);
      await wait(50);
    }
    const said = newest().text ?? '';
    await watch.tick();
    return said;
  }

  it('from the invitation to the rescue service’s stand-down, and out', async () => {
    await say('/roster add name:Edda role:contact email:edda@example.org ways:email');
    await watch.tick();
    expect(newest().subject).toBe('Will you be the contact at home for Mara?');
    expect(await answer('Yes')).toContain('Edda is contact now.');

    await say('/checkin drill');
    await watch.tick();
    expect(newest().subject).toBe('Harrow Tower: rehearsal, nobody is overdue');
    expect(await answer('OK')).toContain('the rehearsal arrived');

    await say('/checkin plan once:18:00 down:22:00 callout:"tomorrow 06:00"');
    await say('/trip depart');
    await watch.tick();
    expect(newest().attachments.map((a) => a.contentType)).toEqual(['text/calendar']);
    await at('2031-06-12 18:01');
    await at('2031-06-12 18:31');
    expect(newest().subject).toBe('Harrow Tower: no word yet');
    expect(await answer('OK')).toContain('Noted. You are not reminded of this step.');
    await at('2031-06-12 20:01');
    expect(newest().subject).toBe('Harrow Tower: overdue, please act');
    expect(newest().headers.get('priority')).toBe('high');
    expect(await answer('what does that mean?')).toContain('not understood, so nothing was done');
    await at('2031-06-13 06:01');
    const call = newest();
    expect(call.subject).toContain('now');
    expect(call.text).toContain('CALLED: you have called the rescue service');
    expect(await answer('called')).toContain('Noted: the rescue service was called.');
    w.at('2031-06-13 07:10');
    const well = await answer('They are well');
    expect(well).toContain('Noted: they are well, Fri 07:10.');
    expect(well).toContain('Edda: tell the rescue service by Fri 07:25');
    // Whoever waits at home can agree no times for the party.
    expect(well).not.toMatch(/Agree a new one/u);
    expect(newest().subject).toBe('Harrow Tower: alarm over');
    expect(await answer('The rescue service knows')).toContain('the rescue service knows');
    await say('/pitch done number:1 at:"05:00"');
    await w.say('mara', '/trip down');
    await w.say('mara', '[Yes, everyone is down]');
    await watch.tick();
    expect(newest().subject).toBe('Harrow Tower: everyone is down');
    expect(await answer('leave')).toContain('Edda is not told of alarms here any more');
    const { state } = await w.trip();
    expect([state.watch.called.length, state.watch.stoodDown.length]).toEqual([1, 1]);

    for (const { to, mail } of post.arrived) {
      expect(to).toEqual(['edda@example.org']);
      // How it is answered stands in each, and no link of a page that isn't there.
      expect(mail.replyTo?.value[0]?.address).toMatch(/^words\+/u);
      expect(mail.text).not.toMatch(/https?:|is not read|undefined/u);
      // Every time with its day, and which clock it goes by (the wall's).
      for (const [time] of (mail.text ?? '').matchAll(/(?:\w+ )?(?<![\d:+])\d\d:\d\d/gu))
        expect(time).toMatch(/^(?:Thu|Fri) /u);
      // Apple Mail, Gmail and Outlook quote it whole; short lines are for a phone (common practice, no source).
      expect((mail.text ?? '').split('\n').length).toBeLessThan(40);
    }
    if (process.env.SHOW_TEXTS) {
      for (const { mail } of post.arrived)
        process.stdout.write(`\n===== ${mail.subject}\n${mail.text}`);
    }
  });
});
