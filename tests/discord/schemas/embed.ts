import { z } from 'zod';
import { EMBED, MESSAGE } from '../limits.ts';
import { complain, httpUrl, lengthOf, mediaUrl, text } from './primitives.ts';

/** resources/message.mdx, Embed Object; Create Message says which fields a sender may set. */
const image = z.strictObject({
  url: mediaUrl,
  description: z.string().optional(),
});

const embed = z.strictObject({
  title: text(EMBED.titleMax).nullish(),
  type: z.literal('rich').optional(),
  description: text(EMBED.descriptionMax).nullish(),
  url: httpUrl.nullish(),
  timestamp: z.iso.datetime({ offset: true }).nullish(),
  color: z.int().min(0).max(0xffffff).nullish(),
  footer: z
    .strictObject({ text: text(EMBED.footerMax, 1), icon_url: mediaUrl.nullish() })
    .nullish(),
  image: image.nullish(),
  thumbnail: image.nullish(),
  author: z
    .strictObject({
      name: text(EMBED.authorMax, 1),
      url: httpUrl.nullish(),
      icon_url: mediaUrl.nullish(),
    })
    .nullish(),
  fields: z
    .array(
      z.strictObject({
        name: text(EMBED.fieldNameMax, 1),
        value: text(EMBED.fieldValueMax, 1),
        inline: z.boolean().optional(),
      }),
    )
    .max(EMBED.fieldsMax)
    .nullish(),
});

export const embeds = z
  .array(embed)
  .max(MESSAGE.embedsMax)
  .superRefine((list, context) => {
    const size = list
      .flatMap((e) => [
        e.title,
        e.description,
        e.footer?.text,
        e.author?.name,
        ...(e.fields ?? []).flatMap((f) => [f.name, f.value]),
      ])
      .reduce((sum, part) => sum + lengthOf(part ?? ''), 0);
    if (size > EMBED.allTextMax) {
      complain(
        context,
        [],
        'MAX_EMBED_SIZE_EXCEEDED',
        `Embed size exceeds maximum size of ${EMBED.allTextMax}`,
      );
    }
  });
