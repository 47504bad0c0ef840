import type {
  APIApplicationCommand,
  APIAttachment,
  APIEmbed,
  APIInteractionDataResolved,
  APIMessageTopLevelComponent,
  APIModalInteractionResponseCallbackData,
} from 'discord.js';
import type { Pings } from './pings.ts';

/** What the stand-in keeps; `payloads.ts` turns it into Discord's JSON. */
export interface StandUser {
  id: string;
  username: string;
  /** The name people see. */
  name: string;
  bot: boolean;
  locale: string;
  /** True when this person takes no direct messages (50007). */
  dmClosed: boolean;
}

export interface StandGuild {
  id: string;
  name: string;
  ownerId: string;
  /** Permission bits by user id. */
  members: Map<string, bigint>;
  /** True once the bot has been thrown out. */
  kicked: boolean;
}

/** What is wrong with a channel until told otherwise; each is one of Discord's codes. */
export type ChannelTrouble =
  | 'gone'
  | 'no-access'
  | 'no-permission'
  | 'archived'
  | 'locked'
  | 'dm-closed'
  | 'no-shared-server';

export interface StandThread {
  parentId: string;
  archived: boolean;
  locked: boolean;
}

export interface StandChannel {
  id: string;
  name: string;
  guildId?: string;
  /** Set for a direct-message channel: the person at the other end. */
  userId?: string;
  botPermissions: bigint;
  /** Set for a thread of another channel: topics/threads.mdx. */
  thread?: StandThread;
  trouble?: ChannelTrouble;
  messages: StandMessage[];
}

export interface StandFile {
  attachment: APIAttachment;
  bytes: Uint8Array;
}

export interface StandMessage {
  id: string;
  channelId: string;
  authorId: string;
  /** What people read, wherever it stands. */
  content: string;
  embeds: APIEmbed[];
  components: APIMessageTopLevelComponent[];
  files: StandFile[];
  flags: number;
  tts: boolean;
  nonce?: string | number;
  /** Wall time by the stand-in's clock. */
  createdAtMs: number;
  editedAtMs?: number;
  pinnedAtMs?: number;
  /** Set for an ephemeral message: the only person who sees it. */
  onlyFor?: string;
  /** Deferred and not filled in yet. */
  loading: boolean;
  deleted: boolean;
  /** Whom it pinged when it came. Edits ping nobody. */
  pings: Pings;
  /** Every text it has shown, oldest first; the last is the present one. */
  texts: string[];
  interactionId?: string;
  repliesTo?: string;
}

export interface StandInteraction {
  id: string;
  token: string;
  type: 'command' | 'autocomplete' | 'press' | 'modal';
  userId: string;
  channelId: string;
  /** Exactly what went out as INTERACTION_CREATE, for sending it again. */
  payload: object;
  dispatchedAtMs: number;
  /** Message the pressed button stands on. */
  source?: StandMessage;
  /** Type of the focused option, for autocomplete. */
  focusedType?: number;
  ack?: { type: number; atMs: number };
  /** What `@original` means: the reply, or the message that was updated. */
  original?: StandMessage;
  /** The reply and its follow-ups, in order. */
  messages: StandMessage[];
  modal?: APIModalInteractionResponseCallbackData;
  choices?: { name: string; value: string | number }[];
  /** True once a deferred answer has been filled in or anything else was said. */
  answered: boolean;
  refusals: Refusal[];
  /** Called after every request about this interaction. */
  watchers: Set<() => void>;
}

/** A request that Discord would have refused. */
export interface Refusal {
  status: number;
  code: number;
  message: string;
  route: string;
  errors?: object;
}

export type Command = APIApplicationCommand;
export type Resolved = APIInteractionDataResolved;
