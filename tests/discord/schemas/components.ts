import { ButtonStyle, ComponentType } from 'discord.js';
import { z } from 'zod';
import { COMPONENT } from '../limits.ts';
import { complain, httpUrl, partialEmoji, text } from './primitives.ts';

/** components/reference.mdx. Only what stands in ordinary messages; Components V2 is not modelled. */

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

export const rows = z
  .array(row)
  .max(COMPONENT.rowsMax)
  .superRefine((list, context) => {
    const seen = new Set<string>();
    list.forEach((r, i) => {
      r.components.forEach((component, j) => {
        const id = 'custom_id' in component ? component.custom_id : undefined;
        if (id === undefined) return;
        if (seen.has(id)) {
          complain(
            context,
            [i, 'components', j, 'custom_id'],
            'COMPONENT_CUSTOM_ID_DUPLICATED',
            'Component custom id cannot be duplicated',
          );
        }
        seen.add(id);
      });
    });
  });
