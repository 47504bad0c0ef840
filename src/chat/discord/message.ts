import type { APIAllowedMentions, BaseMessageOptions, RawFile } from 'discord.js';
import type { Rendered } from './render.ts';

/** For discord.js's own methods. Mentions are always spelled out, as none at all or by id. */
export function messageOptions(message: Rendered): BaseMessageOptions {
  return {
    content: message.content,
    components: message.rows,
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
export function messageBody(message: Rendered): { body: object; files: RawFile[] } {
  const mentions: APIAllowedMentions = { parse: [], users: [...message.pings] };
  return {
    body: {
      content: message.content,
      components: message.rows,
      allowed_mentions: mentions,
      attachments: message.files.map((file, id) => ({
        // A snowflake by the schema, so a string here too.
        id: String(id),
        filename: file.name,
        ...(file.alt === undefined ? {} : { description: file.alt }),
      })),
    },
    files: message.files.map((file) => ({
      name: file.name,
      data: Buffer.from(file.bytes),
      contentType: file.mime,
    })),
  };
}
