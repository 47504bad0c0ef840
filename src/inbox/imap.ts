import { once } from 'node:events';
import { ImapFlow } from 'imapflow';
import type { Logger } from 'pino';
import type { Clock } from '../time/clock.ts';
import type { Desk } from './desk.ts';
import { readMail, SOURCE_MAX } from './incoming.ts';

export interface InboxSettings {
  host: string;
  port: number;
  /** TLS from the first byte; otherwise STARTTLS, where the server has it or as `tls` demands. */
  implicitTls: boolean;
  /** Refuses to log in in the clear. */
  mustTls: boolean;
  user: string;
  password: string;
  mailbox: string;
  /** Certificates to trust besides the system's, PEM. */
  ca?: string;
}

/** Besides being told of new mail (IDLE, RFC 2177) the mailbox is looked at this often. */
const POLL_MS = 60_000;
/** Waits after a connection is lost. */
const AGAIN_MS = [2_000, 10_000, 30_000, 60_000] as const;
/** Mails taken at a time, and tries before one is given up. */
const LOT = 50;
const TRIES = 5;
/** A mail to an address that gets too many waits this long. */
const LATER_MS = 60_000;
/** Mails of which it is remembered that they wait; beyond that they are looked at again. */
const WAITING_MAX = 20_000;
/** Headers that say to whom a mail came. */
const HEADERS = ['to', 'cc', 'delivered-to', 'x-original-to', 'envelope-to'];

/**
 * Reads a mailbox of its own: each mail once, by the order it came in. Only of one with a secret in its address more
 * than a few headers is fetched. What is taken or is nobody's is marked as seen.
 */
export class Inbox {
  readonly #settings: InboxSettings;
  readonly #desk: Desk;
  readonly #clock: Clock;
  readonly #log: Pick<Logger, 'info' | 'warn' | 'error'>;
  readonly #failed = new Map<number, number>();
  /** When mails to addresses that get too many are looked at again, by the monotonic clock. */
  readonly #later = new Map<number, number>();
  #trouble: string | undefined;

  constructor(
    settings: InboxSettings,
    parts: { desk: Desk; clock: Clock; log: Pick<Logger, 'info' | 'warn' | 'error'> },
  ) {
    this.#settings = settings;
    this.#desk = parts.desk;
    this.#clock = parts.clock;
    this.#log = parts.log;
  }

  /** Why no mail can be read, in a word; undefined while it can, and before the first try. */
  get trouble(): string | undefined {
    return this.#trouble;
  }

  /** Reads until `signal` aborts. A lost connection is made anew. */
  async run(signal: AbortSignal): Promise<void> {
    for (let failures = 0; !signal.aborted; failures++) {
      try {
        await this.#session(signal, () => {
          failures = -1;
        });
      } catch (error) {
        const why = whyOf(error);
        if (this.#trouble === undefined && !signal.aborted) {
          this.#log.error({ why }, 'the mailbox can not be read');
        }
        this.#trouble = why;
      }
      if (signal.aborted) break;
      const wait = AGAIN_MS[Math.min(Math.max(failures, 0), AGAIN_MS.length - 1)] ?? POLL_MS;
      await this.#clock.sleep(wait, signal);
    }
  }

  async #session(signal: AbortSignal, opened: () => void): Promise<void> {
    const client = this.#client();
    const gone = new AbortController();
    // Without a listener an error would end the process.
    client.on('error', () => gone.abort());
    client.on('close', () => gone.abort());
    const stop = () => {
      gone.abort();
      client.close();
    };
    signal.addEventListener('abort', stop);
    try {
      await client.connect();
      await client.mailboxOpen(this.#settings.mailbox);
      opened();
      if (this.#trouble !== undefined) this.#log.info({}, 'the mailbox can be read again');
      this.#trouble = undefined;
      while (!gone.signal.aborted && client.usable) {
        const more = await this.#sweep(client);
        if (!more) await this.#news(client, gone.signal);
      }
    } finally {
      signal.removeEventListener('abort', stop);
      client.close();
    }
    if (!signal.aborted) throw new Error('closed');
  }

  #client(): ImapFlow {
    const { host, port, implicitTls, mustTls, user, password, ca } = this.#settings;
    return new ImapFlow({
      host,
      port,
      secure: implicitTls,
      ...(implicitTls || !mustTls ? {} : { doSTARTTLS: true }),
      auth: { user, pass: password },
      logger: false,
      connectionTimeout: 10_000,
      greetingTimeout: 10_000,
      socketTimeout: 5 * 60_000,
      maxIdleTime: 4 * 60_000,
      ...(ca === undefined ? {} : { tls: { ca } }),
    });
  }

  /** Waits for word of new mail, the next look, or the end of the connection. */
  async #news(client: ImapFlow, gone: AbortSignal): Promise<void> {
    if (gone.aborted) return;
    const waited = new AbortController();
    const stop = () => waited.abort();
    gone.addEventListener('abort', stop);
    const heard = once(client, 'exists', { signal: waited.signal }).catch(() => {});
    // Ended by the next command; a server without it is polled.
    void client.idle().catch(() => {});
    await Promise.race([heard, this.#clock.sleep(POLL_MS, waited.signal)]);
    gone.removeEventListener('abort', stop);
    waited.abort();
  }

  /** Takes what is new; resolves to whether more waits. */
  async #sweep(client: ImapFlow): Promise<boolean> {
    const found = (await client.search({ seen: false }, { uid: true })) || [];
    const there = new Set(found);
    for (const uid of this.#later.keys()) if (!there.has(uid)) this.#later.delete(uid);
    const open = found.filter((uid) => (this.#failed.get(uid) ?? 0) < TRIES);
    const waiting = lookedAt(open, this.#later, this.#clock.monoMs());
    const lot = waiting.slice(0, LOT);
    for (const uid of lot) {
      const done = await this.#takeOne(client, uid);
      if (done) await client.messageFlagsAdd([uid], ['\\Seen'], { uid: true });
    }
    return waiting.length > lot.length;
  }

  /** Whether this mail is done with. */
  async #takeOne(client: ImapFlow, uid: number): Promise<boolean> {
    const head = await client.fetchOne(uid, { headers: HEADERS }, { uid: true });
    try {
      if (head === false || head.headers === undefined) return true;
      const { to } = await readMail(head.headers);
      const known = await this.#desk.knows(to);
      if (known === 'nobody') return true;
      if (known === 'later') {
        if (this.#later.size < WAITING_MAX) this.#later.set(uid, this.#clock.monoMs() + LATER_MS);
        return false;
      }
      this.#later.delete(uid);
      const whole = await client.fetchOne(
        uid,
        { source: { start: 0, maxLength: SOURCE_MAX } },
        { uid: true },
      );
      if (whole === false || whole.source === undefined) return true;
      await this.#desk.take(await readMail(whole.source));
      this.#failed.delete(uid);
      return true;
    } catch (error) {
      if (!client.usable) throw error;
      const failures = (this.#failed.get(uid) ?? 0) + 1;
      this.#failed.set(uid, failures);
      this.#log.error({ err: error, failures }, 'a mail could not be taken');
      return false;
    }
  }
}

/**
 * The mails to look at now: what is new in the order it came, then what has waited long enough, the newest first. So
 * one address that gets thousands holds up nobody else's words, and the last word to it is read before its flood.
 */
export function lookedAt(
  uids: readonly number[],
  later: ReadonlyMap<number, number>,
  nowMonoMs: number,
): number[] {
  const fresh = uids.filter((uid) => !later.has(uid));
  const waited = uids.filter((uid) => (later.get(uid) ?? Number.POSITIVE_INFINITY) <= nowMonoMs);
  return [...fresh, ...waited.toReversed()];
}

function whyOf(error: unknown): string {
  const { authenticationFailed, code, responseStatus } = error as {
    authenticationFailed?: boolean;
    code?: string;
    responseStatus?: string;
  };
  if (authenticationFailed === true) return 'imap-login';
  return `imap-${(code ?? responseStatus ?? 'fault').toLowerCase()}`;
}
