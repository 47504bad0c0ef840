import {
  type APIMessageTopLevelComponent,
  MessageFlags,
  type REST,
  Routes,
  type RESTPostAPIChannelMessageResult as Sent,
} from 'discord.js';
import type { Reply } from '../../say/reply.ts';
import { type ApiVerdict, verdictOf } from './api-errors.ts';
import { NONCE_MAX } from './limits.ts';
import { messageBody } from './message.ts';
import type { RenderContext } from './render.ts';
import { urgent } from './rest.ts';
import type { Surface } from './surface.ts';

/** What came of it; `error` by the table in api-errors.ts. */
export type Outcome<T> = { ok: true; value: T } | { ok: false; error: ApiVerdict };

export interface Place {
  channel: string;
  message: string;
}

export interface OutgoingMessage extends RenderContext {
  reply: Reply;
  /**
   * At most 25 characters, the same for the same message on every attempt: Discord then shows it
   * once though it was sent twice within a few minutes (resources/message.mdx, enforce_nonce).
   */
  nonce: string;
  /** Rings nobody's phone: what is no alarm. */
  silent?: boolean;
  /** As a notice has it, 0 for distress: whose turn it is where many requests wait. */
  urgency?: number;
}

/**
 * Messages that nobody asked for: notices, the board. Plain requests, without the client's caches,
 * because they must work for channels and people the client has never seen. Nothing here throws on
 * what Discord or the network does.
 */
export interface Outgoing {
  toChannel(channel: string, message: OutgoingMessage): Promise<Outcome<Place>>;
  /** The direct message's channel is opened once and kept; it is opened anew when it is gone. */
  toUser(userId: string, message: OutgoingMessage): Promise<Outcome<Place>>;
  /** Replaces words, buttons and files. */
  edit(place: Place, message: Omit<OutgoingMessage, 'nonce'>): Promise<Outcome<Place>>;
  /** Puts other buttons on it and leaves the rest. */
  replaceComponents(
    place: Place,
    components: readonly APIMessageTopLevelComponent[],
  ): Promise<Outcome<Place>>;
  pin(place: Place): Promise<Outcome<true>>;
  remove(place: Place): Promise<Outcome<true>>;
  /** Undefined when it is gone. */
  fetch(place: Place): Promise<Outcome<Sent | undefined>>;
}

/** @param openers open direct messages, taken in turn */
export function createOutgoing(
  rest: REST,
  surface: Pick<Surface, 'render'>,
  openers: readonly REST[] = [rest],
): Outgoing {
  const bodyOf = async (message: Omit<OutgoingMessage, 'nonce'>) => {
    // One message only, because it may be edited, pinned or looked for later.
    const { messages } = await surface.render(message.reply, { ...message, maxMessages: 1 });
    return messageBody(messages[0]);
  };
  const send = (channel: string, message: OutgoingMessage) =>
    attempt(async (): Promise<Place> => {
      if (message.nonce.length > NONCE_MAX) throw new RangeError(`nonce over ${NONCE_MAX}`);
      const { body, files } = await bodyOf(message);
      const silent = message.silent === true ? MessageFlags.SuppressNotifications : 0;
      const flags = (body.flags ?? 0) | silent;
      const sent = (await rest.post(Routes.channelMessages(channel), {
        body: { ...body, flags, nonce: message.nonce, enforce_nonce: true },
        files,
        ...urgent(message.urgency),
      })) as Sent;
      return { channel, message: sent.id };
    });
  const change = <T>(place: Place, request: () => Promise<T>) => changed(rest, place, request);
  const direct = directChannels(openers);
  return {
    toChannel: send,
    async toUser(userId, given) {
      // Whoever is told directly may be anywhere.
      const message = { everyInstant: true, ...given };
      const opened = await direct.open(userId, message.urgency);
      if (!opened.ok) return opened;
      const sent = await send(opened.value.id, message);
      if (sent.ok || !GONE.has(sent.error.why)) return sent;
      direct.forget(userId);
      if (opened.value.fresh) return sent;
      const anew = await direct.open(userId, message.urgency);
      return anew.ok ? send(anew.value.id, message) : anew;
    },
    edit: (place, message) =>
      change(place, async () => {
        const { body, files } = await bodyOf(message);
        await rest.patch(Routes.channelMessage(place.channel, place.message), { body, files });
        return place;
      }),
    replaceComponents: (place, components) =>
      change(place, async () => {
        const route = Routes.channelMessage(place.channel, place.message);
        await rest.patch(route, { body: { components } });
        return place;
      }),
    pin: (place) =>
      change<true>(place, async () => {
        await rest.put(Routes.channelMessagesPin(place.channel, place.message));
        return true;
      }),
    remove: (place) =>
      change<true>(place, async () => {
        await rest.delete(Routes.channelMessage(place.channel, place.message));
        return true;
      }),
    async fetch(place) {
      const found = await attempt(
        async () =>
          (await rest.get(Routes.channelMessage(place.channel, place.message))) as Sent | undefined,
      );
      const gone = !found.ok && found.error.why === 'unknown-message';
      return gone ? { ok: true, value: undefined } : found;
    },
  };
}

/** So many people's channels are kept, those used last. */
const KEPT = 10_000;
/** A kept channel that answers so is opened anew. */
const GONE: ReadonlySet<string> = new Set(['unknown-channel', 'no-access', 'not-found']);

/** Channels of direct messages, opened once. */
function directChannels(openers: readonly REST[]) {
  const kept = new Map<string, string>();
  let opened = 0;
  return {
    async open(userId: string, urgency?: number): Promise<Outcome<{ id: string; fresh: boolean }>> {
      const known = kept.get(userId);
      kept.delete(userId);
      if (known !== undefined) {
        kept.set(userId, known);
        return { ok: true, value: { id: known, fresh: false } };
      }
      const body = { recipient_id: userId };
      const rest = openers[opened++ % openers.length] as REST;
      const channel = await attempt(
        async () =>
          (await rest.post(Routes.userChannels(), { body, ...urgent(urgency) })) as { id: string },
      );
      if (!channel.ok) return channel;
      kept.set(userId, channel.value.id);
      for (const oldest of kept.keys()) {
        if (kept.size <= KEPT) break;
        kept.delete(oldest);
      }
      return { ok: true, value: { id: channel.value.id, fresh: true } };
    },
    forget: (userId: string) => kept.delete(userId),
  };
}

/**
 * Changes what stands in a channel. In a thread that lay still for long nothing can be changed, and nobody can use a
 * command either, until it is taken out of the archive (topics/threads.mdx); one that is locked stays as it is.
 */
async function changed<T>(
  rest: REST,
  { channel }: Place,
  request: () => Promise<T>,
): Promise<Outcome<T>> {
  const first = await attempt(request);
  if (first.ok || first.error.why !== 'thread-archived') return first;
  const opened = await attempt(() =>
    rest.patch(Routes.channel(channel), { body: { archived: false } }),
  );
  return opened.ok ? attempt(request) : first;
}

async function attempt<T>(request: () => Promise<T>): Promise<Outcome<T>> {
  try {
    return { ok: true, value: await request() };
  } catch (error) {
    if (error instanceof RangeError) throw error;
    return { ok: false, error: verdictOf(error) };
  }
}
