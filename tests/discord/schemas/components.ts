import { ButtonStyle, ComponentType } from 'discord.js';
import { z } from 'zod';
import { COMPONENT } from '../limits.ts';
import { complain, httpUrl, lengthOf, mediaUrl, partialEmoji, text } from './primitives.ts';

/** components/reference.mdx. What stands in ordinary messages, and in those that are components only. */

export const customId = text(COMPONENT.customIdMax, 1);
/** Same page, Anatomy of a Component: a 32-bit integer. */
export const componentId = z.int().min(0).max(0x7fffffff).optional();

const shownOnButton = {
  type: z.literal(ComponentType.Button),
  id: componentId,
  label: text(COMPONENT.buttonLabelMax).optional(),
  emoji: partialEmoji.optional(),
  disabled: z.boolean().optional(),
};

interface Face {
  label?: string | undefined;
  emoji?: object | undefined;
}

/** From memory: a button with neither text nor picture is refused. */
const hasFace = (b: Face) => (b.label ?? '') !== '' || b.emoji !== undefined;
const NO_FACE = { error: 'A button must have a label or an emoji.' };

const pressButton = z
  .strictObject({
    ...shownOnButton,
    style: z.literal([
      ButtonStyle.Primary,
      ButtonStyle.Secondary,
      ButtonStyle.Success,
      ButtonStyle.Danger,
    ]),
    custom_id: customId,
  })
  .refine(hasFace, NO_FACE);

const linkButton = z
  .strictObject({
    ...shownOnButton,
    style: z.literal(ButtonStyle.Link),
    url: z.intersection(httpUrl, text(COMPONENT.urlMax)),
  })
  .refine(hasFace, NO_FACE);

const button = z.union([pressButton, linkButton]);

const select = {
  id: componentId,
  custom_id: customId,
  placeholder: text(COMPONENT.selectPlaceholderMax).optional(),
  min_values: z.int().min(0).max(COMPONENT.selectOptionsMax).optional(),
  max_values: z.int().min(1).max(COMPONENT.selectOptionsMax).optional(),
};

const selectOptions = z
  .array(
    z.strictObject({
      label: text(COMPONENT.selectTextMax, 1),
      value: text(COMPONENT.selectTextMax, 1),
      description: text(COMPONENT.selectTextMax).optional(),
      emoji: partialEmoji.optional(),
      default: z.boolean().optional(),
    }),
  )
  .min(1)
  .max(COMPONENT.selectOptionsMax);

const stringSelect = z.strictObject({
  ...select,
  type: z.literal(ComponentType.StringSelect),
  options: selectOptions,
  disabled: z.boolean().optional(),
});

/** In a modal a select may be required and may not be disabled. */
export const modalSelect = z.strictObject({
  ...select,
  type: z.literal(ComponentType.StringSelect),
  options: selectOptions,
  required: z.boolean().optional(),
});

/** Same page, User Select and File Upload, as they stand in a modal. */
export const modalUserSelect = z.strictObject({
  ...select,
  type: z.literal(ComponentType.UserSelect),
  required: z.boolean().optional(),
});
export const fileUpload = z.strictObject({
  type: z.literal(ComponentType.FileUpload),
  id: componentId,
  custom_id: customId,
  min_values: z.int().min(0).max(10).optional(),
  max_values: z.int().min(1).max(10).optional(),
  required: z.boolean().optional(),
});

const row = z.strictObject({
  type: z.literal(ComponentType.ActionRow),
  id: componentId,
  components: z.union([
    z.array(button).min(1).max(COMPONENT.buttonsPerRow),
    z.array(stringSelect).length(1),
  ]),
});

export const rows = z.array(row).max(COMPONENT.rowsMax).superRefine(refuseDoubles);

/** Same page, Text Display. */
const textDisplay = z.strictObject({
  type: z.literal(ComponentType.TextDisplay),
  id: componentId,
  content: text(COMPONENT.allTextMax, 1),
});

/** Same page, Unfurled Media Item: `attachment://` or an address. */
const media = z.strictObject({ url: mediaUrl });

const mediaGallery = z.strictObject({
  type: z.literal(ComponentType.MediaGallery),
  id: componentId,
  items: z
    .array(
      z.strictObject({
        media,
        description: text(COMPONENT.mediaDescriptionMax).nullish(),
        spoiler: z.boolean().optional(),
      }),
    )
    .min(1)
    .max(COMPONENT.mediaMax),
});

/** Same page, File: an attachment only. */
const file = z.strictObject({
  type: z.literal(ComponentType.File),
  id: componentId,
  file: z.strictObject({ url: z.string().regex(/^attachment:\/\/\S+$/u) }),
  spoiler: z.boolean().optional(),
});

const separator = z.strictObject({
  type: z.literal(ComponentType.Separator),
  id: componentId,
  divider: z.boolean().optional(),
  spacing: z.literal([1, 2]).optional(),
});

const inContainer = [textDisplay, mediaGallery, file, separator, row] as const;

const container = z.strictObject({
  type: z.literal(ComponentType.Container),
  id: componentId,
  components: z.array(z.union(inContainer)).min(1),
  accent_color: z.int().min(0).max(0xffffff).nullish(),
  spoiler: z.boolean().optional(),
});

/** components/reference.mdx, of a message with IS_COMPONENTS_V2: 40 components, nested ones too, and 4000 characters in all. */
export const cards = z.array(z.union([...inContainer, container])).superRefine((list, context) => {
  const all = everyComponent(list);
  const letters = all.reduce((sum, c) => sum + lengthOf(String(c.content ?? '')), 0);
  if (all.length > COMPONENT.allMax) {
    complain(context, [], 'COMPONENT_MAX_TOTAL_COMPONENTS_EXCEEDED', 'Too many components.');
  }
  if (letters > COMPONENT.allTextMax) {
    complain(context, [], 'COMPONENT_DISPLAYABLE_TEXT_SIZE_EXCEEDED', 'Too much text.');
  }
  refuseDoubles(list, context);
});

export interface AnyComponent {
  type: number;
  custom_id?: string;
  content?: string;
  label?: string;
  [field: string]: unknown;
}

/** All components, each before those in it. */
export function everyComponent(list: readonly unknown[]): AnyComponent[] {
  return (list as AnyComponent[]).flatMap((c) => [
    c,
    ...everyComponent(Array.isArray(c.components) ? c.components : []),
  ]);
}

function refuseDoubles(list: readonly unknown[], context: z.RefinementCtx): void {
  const seen = new Set<string>();
  const look = (within: readonly unknown[], path: readonly PropertyKey[]) => {
    for (const [i, component] of (within as AnyComponent[]).entries()) {
      const { custom_id: id, components } = component;
      if (id !== undefined && seen.has(id)) {
        complain(
          context,
          [...path, i, 'custom_id'],
          'COMPONENT_CUSTOM_ID_DUPLICATED',
          'Component custom id cannot be duplicated',
        );
      }
      if (id !== undefined) seen.add(id);
      if (Array.isArray(components)) look(components, [...path, i, 'components']);
    }
  };
  look(list, []);
}
