import { ComponentType, MessageFlags } from 'discord.js';
import { z } from 'zod';
import { MESSAGE } from '../limits.ts';
import { cards, rows } from './components.ts';
import { embeds } from './embed.ts';
import { complain, flags, snowflake, text } from './primitives.ts';

/** resources/message.mdx, Allowed Mentions Object. */
const allowedMentions = z
  .strictObject({
    parse: z.array(z.enum(['users', 'roles', 'everyone'])).optional(),
    users: z.array(snowflake).max(MESSAGE.mentionIdsMax).optional(),
    roles: z.array(snowflake).max(MESSAGE.mentionIdsMax).optional(),
    replied_user: z.boolean().optional(),
  })
  .superRefine((allowed, context) => {
    for (const kind of ['users', 'roles'] as const) {
      const ids = allowed[kind] ?? [];
      if (allowed.parse?.includes(kind) === true && ids.length > 0) {
        complain(
          context,
          [],
          'MESSAGE_ALLOWED_MENTIONS_PARSE_EXCLUSIVE',
          `parse:["${kind}"] and ${kind}: [ids...] are mutually exclusive.`,
        );
      }
      if (new Set(ids).size !== ids.length) {
        complain(context, [kind], 'SET_TYPE_ALREADY_CONTAINS_VALUE', 'An id is there twice.');
      }
    }
  });

/** Same page, Attachment Request Structure. */
const attachments = z.array(
  z.strictObject({
    // A snowflake: a number would be taken today, and isn't what the schema says.
    id: z.union([snowflake, z.string().regex(/^\d$/u)]),
    filename: text(MESSAGE.altMax).optional(),
    title: text(MESSAGE.altMax).nullish(),
    description: text(MESSAGE.altMax).nullish(),
    is_spoiler: z.boolean().optional(),
    // A client sends back what it was told about a file that stays; Discord takes no notice.
    url: z.string().optional(),
    proxy_url: z.string().optional(),
    size: z.int().optional(),
    content_type: z.string().optional(),
  }),
);

/** Rows of buttons alone may stand in either kind of message. */
const components = z.array(z.looseObject({ type: z.int() })).superRefine((list, context) => {
  const isRows = list.every((c) => c.type === ComponentType.ActionRow);
  const { error } = (isRows ? rows : cards).safeParse(list);
  for (const issue of error?.issues ?? []) context.addIssue({ ...issue } as never);
});

const shown = {
  content: text(MESSAGE.contentMax).nullish(),
  embeds: embeds.nullish(),
  allowed_mentions: allowedMentions.nullish(),
  components: components.nullish(),
  attachments: attachments.nullish(),
  tts: z.boolean().optional(),
};

/**
 * `enforce_nonce` and `nonce` are documented for Create Message only. Elsewhere they would be
 * ignored, which would hide a sender that relies on them; discord.js always sends `false`.
 */
const noNonce = { enforce_nonce: z.literal(false).optional() };

const SENT =
  MessageFlags.SuppressEmbeds | MessageFlags.SuppressNotifications | MessageFlags.IsComponentsV2;

/** Create Message. */
export const messageCreate = z
  .strictObject({
    ...shown,
    nonce: z.union([text(MESSAGE.nonceMax), z.int()]).nullish(),
    enforce_nonce: z.boolean().optional(),
    message_reference: z
      .strictObject({
        type: z.literal(0).optional(),
        message_id: snowflake,
        channel_id: snowflake.optional(),
        guild_id: snowflake.optional(),
        fail_if_not_exists: z.boolean().optional(),
      })
      .nullish(),
    sticker_ids: z.array(snowflake).max(MESSAGE.stickersMax).nullish(),
    flags: flags(SENT).nullish(),
  })
  .refine((m) => m.enforce_nonce !== true || (m.nonce !== undefined && m.nonce !== null), {
    error: 'enforce_nonce needs a nonce.',
    path: ['nonce'],
  });

/** Edit Message and Edit Webhook Message. */
export const messageEdit = z.strictObject({
  ...shown,
  ...noNonce,
  flags: flags(MessageFlags.SuppressEmbeds | MessageFlags.IsComponentsV2).nullish(),
});

/** receiving-and-responding.mdx, Interaction Callback Data: Messages; also Create Followup. */
export const interactionMessage = z.strictObject({
  ...shown,
  ...noNonce,
  flags: flags(SENT | MessageFlags.Ephemeral).nullish(),
});

export type MessageCreate = z.infer<typeof messageCreate>;
export type MessageEdit = z.infer<typeof messageEdit>;
export type InteractionMessage = z.infer<typeof interactionMessage>;
/** What the three have in common. */
export type MessageContent = Omit<MessageEdit, 'enforce_nonce'>;
