import { type Holder, whileHeld } from '../app/holds.ts';
import type { Ports } from '../bot.ts';
import type { DiscordChat } from '../chat/discord/client.ts';
import type { Gateway } from '../ops/health.ts';

/** Under this name one process answers commands: Discord would give each of two every command. */
const NAME = 'gateway';
const AGAIN_MS = 3_000;

/**
 * Answers on Discord in one process of those on the same database; the others wait, and one of them
 * takes its place when it ends or can't say any more that it is there.
 */
export class Answering {
  readonly #ports: Ports;
  readonly #holder: Holder;
  readonly #newChat: () => DiscordChat;
  readonly #off = new AbortController();
  #chat: DiscordChat;
  #waiting = false;
  #ended: Promise<void> = Promise.resolve();

  constructor(ports: Ports, owner: string, newChat: () => DiscordChat) {
    this.#ports = ports;
    this.#holder = { ...ports, owner };
    this.#newChat = newChat;
    this.#chat = newChat();
  }

  /** Resolves once commands are answered here, or when it is closed; rejects when Discord refuses the token. */
  start(): Promise<void> {
    return new Promise((resolve, reject) => {
      this.#ended = this.#run(resolve).then(resolve, reject);
    });
  }

  /** A process that waits for its turn has nothing to be connected to. */
  health(): Gateway {
    return this.#waiting ? { ready: true, elsewhere: true } : this.#chat.health();
  }

  async close(): Promise<void> {
    this.#off.abort();
    await this.#ended;
    await this.#chat.close();
  }

  async #run(connected: () => void): Promise<void> {
    const { clock, log } = this.#ports;
    const off = this.#off.signal;
    while (!off.aborted) {
      const turn = whileHeld(this.#holder, NAME, (lost) => this.#answer(lost, connected));
      const done = await turn.catch((error: unknown) => {
        if ((error as Error).name === 'DiscordStartError') throw error;
        log.error({ err: error }, 'it could not be found out whether another process answers');
        return 'unknown' as const;
      });
      if (done === undefined && !this.#waiting) log.info('another process answers on Discord');
      this.#waiting = done === undefined;
      await clock.sleep(AGAIN_MS, off);
    }
  }

  async #answer(lost: AbortSignal, connected: () => void): Promise<void> {
    this.#waiting = false;
    const over = AbortSignal.any([lost, this.#off.signal]);
    const chat = this.#chat;
    const ended = new Promise<void>((resolve) => {
      if (over.aborted) resolve();
      over.addEventListener('abort', () => resolve(), { once: true });
    }).then(() => chat.close());
    await chat.connect();
    if (!over.aborted) connected();
    await ended;
    if (this.#off.signal.aborted) return;
    this.#ports.log.error('this process may answer no longer: another can, by now');
    this.#chat = this.#newChat();
  }
}
