/** A mail server in this process, with the moods of bad ones, that remembers what it was given. */
import type { AddressInfo } from 'node:net';
import { performance } from 'node:perf_hooks';
import { SMTPServer } from 'smtp-server';

export type Mood =
  | 'well'
  /** Takes the connection and says nothing. */
  | 'silent'
  /** Has the text, and answers half a minute later. */
  | 'late'
  /** 451 to every recipient. */
  | 'busy'
  /** Has the text and hangs up instead of answering. */
  | 'drops';

export interface Arrived {
  id: string;
  to: string;
  text: string;
  atMs: number;
  monoMs: number;
}

export interface MailServer {
  port: number;
  mood: Mood;
  /** Recipients whose answer never comes, whatever the mood. */
  hangs: (address: string) => boolean;
  /** Mails it has said it took, or would have said if anybody had waited. */
  arrived: Arrived[];
  close(): Promise<void>;
}

const LATE_MS = 30_000;

export async function mailServer(): Promise<MailServer> {
  const state: MailServer = {
    port: 0,
    mood: 'well',
    hangs: () => false,
    arrived: [],
    close: () => new Promise((resolve) => server.close(() => resolve())),
  };
  const server = new SMTPServer({
    authOptional: true,
    logger: false,
    disableReverseLookup: true,
    disabledCommands: ['STARTTLS', 'AUTH'],
    closeTimeout: 100,
    maxClients: 5_000,
    onConnect(_session, done) {
      if (state.mood !== 'silent') done();
    },
    onRcptTo({ address }, _session, done) {
      if (state.hangs(address)) return;
      if (state.mood !== 'busy') return done();
      done(Object.assign(new Error('4.3.2 busy'), { responseCode: 451 }));
    },
    onData(stream, session, done) {
      const chunks: Buffer[] = [];
      const { mood } = state;
      stream.on('data', (chunk: Buffer) => chunks.push(chunk));
      stream.on('end', () => {
        if (mood === 'drops') {
          return done(Object.assign(new Error('4.3.0 going down'), { responseCode: 421 }));
        }
        state.arrived.push(...read(Buffer.concat(chunks), session.envelope.rcptTo));
        if (mood === 'late') setTimeout(() => done(), LATE_MS);
        else done();
      });
    },
  });
  // A client that is killed breaks off: that is what is tried here.
  server.on('error', () => undefined);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  state.port = (server.server.address() as AddressInfo).port;
  return state;
}

/** Enough of the mail to know it again: quoted-printable's soft ends are taken out. */
function read(raw: Buffer, to: readonly { address: string }[]): Arrived[] {
  const text = raw.toString('utf8').replaceAll(/=\r\n/gu, '');
  const id = /^Message-ID: <(.+?)>/imu.exec(text)?.[1] ?? '';
  const at = { atMs: Date.now(), monoMs: performance.now() };
  return to.map(({ address }) => ({ id, to: address, text, ...at }));
}
