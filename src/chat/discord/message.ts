import type {
  APIAllowedMentions,
  APIMessageTopLevelComponent,
  BaseMessageOptions,
  RawFile,
} from 'discord.js';
import { CARD, cardOf } from './card.ts';
import type { Rendered } from './render.ts';

/** What is shown besides files: words and rows, or a card that has both in it. */
function shown(message: Rendered): {
  content: string | null;
  components: readonly APIMessageTopLevelComponent[];
} {
  const { content, rows, card } = message;
  if (card === undefined) return { content, components: rows };
  return { content: null, components: [cardOf(message, card)] };
}

/** For discord.js's own methods. Mentions are always spelled out, as none at all or by id. */
export function messageOptions(message: Rendered): BaseMessageOptions {
  const { content, components } = shown(message);
  return {
    ...(content === null ? {} : { content }),
    components,
    allowedMentions: { parse: [], users: message.pings },
    // Plain data: the library's AttachmentBuilder also sends fields for voice messages.
    files: message.files.map((file) => ({
      attachment: Buffer.from(file.bytes),
      name: file.name,
      ...(file.alt === undefined ? {} : { description: file.alt }),
    })),
  };
}

/** For a bare request: the JSON body and the files that go with it. */
export function messageBody(message: Rendered): {
  body: { flags?: number } & object;
  files: RawFile[];
} {
  const mentions: APIAllowedMentions = { parse: [], users: [...message.pings] };
  const body = {
    ...shown(message),
    ...(message.card === undefined ? {} : { flags: CARD }),
    allowed_mentions: mentions,
    attachments: message.files.map((file, id) => ({
      // A snowflake by the schema, so a string here too.
      id: String(id),
      filename: file.name,
      ...(file.alt === undefined ? {} : { description: file.alt }),
    })),
  };
  const files = message.files.map((file) => ({
    name: file.name,
    data: Buffer.from(file.bytes),
    contentType: file.mime,
  }));
  return { body, files };
}
