import type { Logger } from 'pino';
import type { Reply } from '../../say/reply.ts';
import type { Store } from '../../store/port.ts';
import { decodePress, keptFactOf, type Pressable } from './custom-id.ts';
import { type RenderContext, type Rendering, renderReply } from './render.ts';

/** The ids under which Discord has our commands, by path: what makes `/pitch done` something to tap. */
const IDS = 'discord.command-ids';

/**
 * What a reply needs of the store to be shown: the presses that are too long for a button's own id, and the
 * commands' ids. A store that can't be written keeps no answer back.
 */
export class Surface {
  readonly #store: Pick<Store, 'getFact' | 'setFact'>;
  readonly #log: Pick<Logger, 'error'>;
  #ids: Promise<ReadonlyMap<string, string>> | undefined;

  constructor(store: Pick<Store, 'getFact' | 'setFact'>, log: Pick<Logger, 'error'>) {
    this.#store = store;
    this.#log = log;
  }

  /** The reply as Discord messages, with all that its buttons stand for on disk. */
  async render(reply: Reply, context: RenderContext): Promise<Rendering> {
    this.#ids ??= this.#readIds();
    const rendering = renderReply(reply, { ...context, commandIds: await this.#ids });
    if (rendering.problems.length > 0) {
      this.#log.error({ problems: rendering.problems }, 'part of a message was left out');
    }
    await this.keep(rendering.kept);
    return rendering;
  }

  /** Writes down what buttons stand for; a button that could not be kept says so when it is pressed. */
  async keep(presses: readonly { fact: string; text: string }[]): Promise<void> {
    for (const { fact, text } of presses) {
      await this.#store.setFact(fact, text).catch((error: unknown) => {
        this.#log.error({ err: error }, 'a button could not be kept');
      });
    }
  }

  /** What a button or form stands for; undefined for one that is not ours, or of another version. */
  async pressOf(customId: string): Promise<Pressable | undefined> {
    const fact = keptFactOf(customId);
    const text = fact === undefined ? customId : await this.#store.getFact(fact);
    return text === undefined ? undefined : decodePress(text);
  }

  /** Told after the commands were registered. */
  async named(ids: ReadonlyMap<string, string>): Promise<void> {
    this.#ids = Promise.resolve(ids);
    await this.#store.setFact(IDS, JSON.stringify([...ids]));
  }

  async #readIds(): Promise<ReadonlyMap<string, string>> {
    try {
      return new Map(JSON.parse((await this.#store.getFact(IDS)) ?? '[]'));
    } catch {
      return new Map();
    }
  }
}
