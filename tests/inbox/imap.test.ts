/** The mailbox through imapflow to a real IMAP server (RFC 3501, IDLE: RFC 2177). */

import { setTimeout as wait } from 'node:timers/promises';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Desk } from '../../src/inbox/desk.ts';
import { Inbox, type InboxSettings } from '../../src/inbox/imap.ts';
import { systemClock } from '../../src/system/clock.ts';
import { signWords } from '../../src/trip/signs.ts';
import { openDemo, type World, world } from '../helpers/world.ts';
import { dovecot, hasDovecot, type MailServer, NO_DOVECOT } from './dovecot.ts';

if (!hasDovecot && process.env.CI === 'true') throw new Error(NO_DOVECOT);

describe.skipIf(!hasDovecot)(hasDovecot ? 'a mailbox that is read' : NO_DOVECOT, () => {
  let w: World;
  let server: MailServer;
  let off: AbortController;
  let running: Promise<void>;
  let inbox: Inbox;
  let answers: string[];

  const start = (more: Partial<InboxSettings> = {}) => {
    const { mailAddresses: addresses } = w.app;
    if (addresses === undefined) throw new Error('no addresses');
    const email = async (_to: object, { message }: { message: { lines: readonly unknown[] } }) => {
      answers.push(message.lines.join('\n'));
      return { ok: true, receipt: 'x' } as const;
    };
    off = new AbortController();
    inbox = new Inbox(
      {
        host: '127.0.0.1',
        port: server.port,
        implicitTls: false,
        mustTls: false,
        user: server.user,
        password: server.password,
        mailbox: 'INBOX',
        ...more,
      },
      { desk: new Desk({ app: w.app, addresses, email }), clock: systemClock(), log: w.app.log },
    );
    running = inbox.run(off.signal);
  };

  beforeEach(async () => {
    answers = [];
    server = await dovecot();
    w = await world({ around: () => ({ inbox: 'words+*@example.org' }) });
    await openDemo(w);
    await w.say('mara', '/trip depart');
  });
  afterEach(async () => {
    off.abort();
    await running;
    await server.stop();
    await w.close();
  });

  const signs = async () => {
    const { state } = await w.trip();
    return state.watch.signs.map((s) => signWords(state, s));
  };
  async function until(what: () => Promise<boolean>): Promise<void> {
    for (let tries = 0; tries < 600; tries++) {
      if (await what()) return;
      await wait(50);
    }
    throw new Error('it did not come');
  }
  const address = async () =>
    w.app.mailAddresses?.address((await w.trip()).state.id, { person: 'mara', to: '' });
  const source = (to: string | undefined, body: string, id: string) =>
    `From: a@sat.example.com\r\nTo: ${to}\r\nMessage-ID: <${id}@x>\r\nSubject: x\r\n\r\n${body}\r\n`;

  it('takes what waits, then what comes, and leaves nobody else’s mail unlooked at', async () => {
    const to = await address();
    await server.deliver(source('words@example.org', 'buy this', 'spam'));
    await server.deliver(source(to, 'all well, before the start', 'one'));
    start();
    await until(async () => (await signs()).some((words) => words.includes('before the start')));
    // Told of by the server: the next look of its own would be a minute later.
    await server.deliver(source(to, 'all well, told of at once', 'two'));
    await until(async () => (await signs()).some((words) => words.includes('told of at once')));
    await until(async () => (await server.unseen()) === 0);
    expect(inbox.trouble).toBeUndefined();
    expect(answers).toHaveLength(2);
  });

  it('reads of a mail of megabytes what stands in front, and nothing that is attached', async () => {
    const body = [
      'Content-Type: multipart/mixed; boundary=b',
      '',
      '--b',
      'Content-Type: text/plain',
      '',
      'all well, with a picture',
      '--b',
      'Content-Type: image/jpeg; name=wall.jpg',
      'Content-Transfer-Encoding: base64',
      '',
      ...Array.from({ length: 40_000 }, () => 'QUJD'.repeat(18)),
      '--b--',
    ].join('\r\n');
    await server.deliver(
      `From: a@sat.example.com\r\nTo: ${await address()}\r\nMessage-ID: <big@x>\r\nMIME-Version: 1.0\r\n${body}`,
    );
    start();
    await until(async () => (await signs()).some((words) => words.includes('with a picture')));
  });

  it('a server that refuses us is said, and is tried again', async () => {
    start({ password: 'wrong' });
    await until(async () => inbox.trouble === 'imap-login');
    expect(w.logged.join()).toContain('the mailbox can not be read');
  });
});
