/** The time in a mail server's greeting. RFC 5321, 4.2: its words are the server's own; RFC 5322, 3.3: date-time. */
import { expect, it } from 'vitest';
import { dateOf, mailTime } from '../../src/delivery/mail-time.ts';
import { silentServer, smtpServer } from './smtp.ts';

const NOON = Date.UTC(2031, 5, 12, 12, 0, 5);
const open = { disabledCommands: ['STARTTLS', 'AUTH'] };
/** This machine, by an address that isn't recognised as such. */
const host = '::ffff:127.0.0.1';
const ask = (port: number) => mailTime({ host, port, implicitTls: false });
const never = () => new AbortController().signal;

it.each([
  ['220 mail.example.org ESMTP ready; Thu, 12 Jun 2031 14:00:05 +0200', NOON],
  ['220-mail.example.org\r\n220 ready at 12 Jun 2031 12:00:05 GMT\r\n', NOON],
  ['220 mail.example.org Thu, 12 Jun 2031 12:00:05 UT', NOON],
  ['220 mail.example.org 12 Jun 2031 05:30 -0630', NOON - 5_000],
  ['220 mail.example.org ESMTP', undefined],
  ['220 mail.example.org, up since 12 Jun 2031', undefined],
  // A zone by a name of its own says nothing that could be relied on (RFC 5322, 4.3).
  ['220 mail.example.org Thu, 12 Jun 2031 12:00:05 UTCX', undefined],
])('of %s', (greeting, ms) => {
  expect(dateOf(greeting)).toBe(ms);
});

it('is read from a real server', async () => {
  const { port } = await smtpServer({ ...open, banner: 'ready; Thu, 12 Jun 2031 14:00:05 +0200' });
  const time = ask(port);
  expect(await time.ask(never())).toBe(NOON);
  expect(time.mute).toBe(false);
});

it('that isn’t there is asked for once only', async () => {
  let calls = 0;
  const { port } = await smtpServer({
    ...open,
    onConnect(_session, done) {
      calls += 1;
      done();
    },
  });
  const time = ask(port);
  expect(await time.ask(never())).toBeUndefined();
  expect(time.mute).toBe(true);
  expect(await time.ask(never())).toBeUndefined();
  expect(calls).toBe(1);
});

it('of a server on this machine is our own and proves nothing', async () => {
  const { port } = await smtpServer({ ...open, banner: 'Thu, 12 Jun 2031 14:00:05 +0200' });
  for (const here of ['127.0.0.1', 'localhost']) {
    const time = mailTime({ host: here, port, implicitTls: false });
    expect([time.mute, await time.ask(never())]).toEqual([true, undefined]);
  }
});

it('of a server that never speaks is given up when it is told to', async () => {
  const time = ask(await silentServer());
  const off = new AbortController();
  const asked = time.ask(off.signal);
  off.abort();
  expect(await asked).toBeUndefined();
  // It may tell it another time.
  expect(time.mute).toBe(false);
});
