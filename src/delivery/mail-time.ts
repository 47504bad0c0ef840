import { connect, isIP } from 'node:net';
import { connect as connectTls } from 'node:tls';
import type { Witness } from './clocks.ts';
import type { MailSettings } from './mail.ts';

/** A date-time as mail has it (RFC 5322, 3.3), with a numeric zone or by a name of UTC. */
const DATE_TIME =
  /\b\d{1,2} (?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec) \d{4} \d{2}:\d{2}(?::\d{2})? (?:[+-]\d{4}|GMT|UTC?)(?![A-Z0-9])/u;
/** Greetings are short: RFC 5321, 4.5.3.1.5 allows 512 octets a line. */
const LONGEST = 8_192;

/**
 * The mail server's own time, where its greeting tells it. RFC 5321, 4.2 leaves the words of the greeting to
 * the server: several put their time there, many don't. One that doesn't is asked once and then left alone.
 * A server on this machine has this machine's clock and is no witness.
 */
export function mailTime(
  settings: Pick<MailSettings, 'host' | 'port' | 'implicitTls' | 'ca'>,
): Witness {
  let mute = isHere(settings.host);
  return {
    get mute() {
      return mute;
    },
    async ask(signal) {
      if (mute) return undefined;
      const greeting = await greetingOf(settings, signal);
      // Busy, or it hung up: another time.
      if (greeting === undefined) return undefined;
      const dateMs = dateOf(greeting);
      mute = dateMs === undefined;
      return dateMs;
    },
  };
}

/** The date-time in a server's greeting, epoch milliseconds. */
export function dateOf(greeting: string): number | undefined {
  const found = DATE_TIME.exec(greeting)?.[0];
  const dateMs = Date.parse(found?.replace(/UTC?$/u, 'GMT') ?? '');
  return Number.isNaN(dateMs) ? undefined : dateMs;
}

function isHere(host: string): boolean {
  return (
    /^(?:localhost|.*\.localhost|::1)$/iu.test(host) || (isIP(host) === 4 && /^127\./u.test(host))
  );
}

/** The whole greeting with code 220; undefined when there is none. */
function greetingOf(
  { host, port, implicitTls, ca }: Pick<MailSettings, 'host' | 'port' | 'implicitTls' | 'ca'>,
  signal: AbortSignal,
): Promise<string | undefined> {
  return new Promise((resolve) => {
    const socket = implicitTls
      ? connectTls({
          host,
          port,
          servername: isIP(host) === 0 ? host : '',
          ...(ca === undefined ? {} : { ca }),
        })
      : connect({ host, port });
    let text = '';
    const done = (greeting: string | undefined) => {
      resolve(greeting);
      signal.removeEventListener('abort', giveUp);
      socket.end('QUIT\r\n', () => socket.destroy());
    };
    const giveUp = () => done(undefined);
    signal.addEventListener('abort', giveUp);
    socket.on('error', giveUp).on('close', giveUp);
    socket.on('data', (chunk: Buffer) => {
      text += chunk.toString('latin1');
      if (/^220(?: .*)?\r?\n/mu.test(text)) done(text);
      else if (text.length > LONGEST || (text.length > 2 && !text.startsWith('220')))
        done(undefined);
    });
  });
}
