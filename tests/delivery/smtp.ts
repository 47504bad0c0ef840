/** A real SMTP server on loopback, with the moods of real ones. */
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { type ParsedMail, simpleParser } from 'mailparser';
import { SMTPServer, type SMTPServerOptions } from 'smtp-server';
import { onTestFinished } from 'vitest';

export interface Arrived {
  to: string[];
  secure: boolean;
  user: string | undefined;
  raw: string;
  mail: ParsedMail;
}

export interface TestServer {
  port: number;
  arrived: Arrived[];
}

/** Answers one after the other to RCPT TO; none left means accepted. */
export type Mood = { code: number; text: string };

export async function smtpServer(
  options: Partial<SMTPServerOptions> & { recipients?: Mood[]; afterData?: Mood[] } = {},
): Promise<TestServer> {
  const arrived: Arrived[] = [];
  const { recipients = [], afterData = [], ...given } = options;
  const refused = (mood: Mood) => Object.assign(new Error(mood.text), { responseCode: mood.code });
  const server = new SMTPServer({
    authOptional: true,
    logger: false,
    disableReverseLookup: true,
    onRcptTo(_address, _session, done) {
      const mood = recipients.shift();
      done(mood === undefined ? null : refused(mood));
    },
    onData(stream, session, done) {
      const chunks: Buffer[] = [];
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', async () => {
        const mood = afterData.shift();
        if (mood !== undefined) return done(refused(mood));
        const raw = Buffer.concat(chunks);
        arrived.push({
          to: session.envelope.rcptTo.map((a) => a.address),
          secure: session.secure,
          user: session.user,
          raw: raw.toString('utf8'),
          mail: await simpleParser(raw),
        });
        done();
      });
    },
    ...given,
  });
  // A client that breaks off is part of what is tested.
  server.on('error', () => undefined);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => new Promise<void>((resolve) => server.close(() => resolve())));
  return { port: (server.server.address() as AddressInfo).port, arrived };
}

/** Takes the connection and says nothing. */
export async function silentServer(): Promise<number> {
  const server = createServer(() => undefined);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  onTestFinished(() => void server.close());
  return (server.address() as AddressInfo).port;
}

/** A port on which nothing listens. */
export async function deadPort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise<void>((resolve) => server.close(() => resolve()));
  return port;
}
