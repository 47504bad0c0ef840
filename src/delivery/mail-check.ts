import type { Logger } from 'pino';
import type { Clock } from '../time/clock.ts';
import type { Mail } from './mail.ts';

/** The server is asked this often while it takes mail from us, and while it does not. */
const EVERY_MS = 15 * 60_000;
const AGAIN_MS = 60_000;

/** Whether the mail server would take mail from us now: found out before the first alarm needs it. */
export class MailCheck {
  readonly #mail: Pick<Mail, 'check'>;
  readonly #clock: Clock;
  readonly #log: Pick<Logger, 'error' | 'info'>;
  #trouble: string | undefined;

  constructor(
    mail: Pick<Mail, 'check'>,
    { clock, log }: { clock: Clock; log: Pick<Logger, 'error' | 'info'> },
  ) {
    this.#mail = mail;
    this.#clock = clock;
    this.#log = log;
  }

  /** Why it does not, in a word; undefined while it does, and before the first answer. */
  get trouble(): string | undefined {
    return this.#trouble;
  }

  /** Asks again and again until `signal` aborts. */
  async run(signal: AbortSignal): Promise<void> {
    while (!signal.aborted) {
      await this.once();
      await this.#clock.sleep(this.#trouble === undefined ? EVERY_MS : AGAIN_MS, signal);
    }
  }

  async once(): Promise<void> {
    const why = await this.#mail.check();
    if (why !== undefined && this.#trouble === undefined) {
      this.#log.error({ why }, 'the mail server does not take mail from us');
    }
    if (why === undefined && this.#trouble !== undefined) {
      this.#log.info({}, 'the mail server takes mail from us again');
    }
    this.#trouble = why;
  }
}
