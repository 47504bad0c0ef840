import { ComponentType, TextInputStyle } from 'discord.js';
import { z } from 'zod';
import { COMPONENT, MODAL } from '../limits.ts';
import { componentId, customId, fileUpload, modalSelect, modalUserSelect } from './components.ts';
import { complain, text } from './primitives.ts';

/** components/reference.mdx, Label and Text Input; receiving-and-responding.mdx, Modal. */

const inputFields = {
  type: z.literal(ComponentType.TextInput),
  id: componentId,
  custom_id: customId,
  style: z.enum(TextInputStyle),
  min_length: z.int().min(0).max(COMPONENT.inputMax).optional(),
  max_length: z.int().min(1).max(COMPONENT.inputMax).optional(),
  required: z.boolean().optional(),
  value: text(COMPONENT.inputMax).optional(),
  placeholder: text(COMPONENT.inputPlaceholderMax).optional(),
};

interface Bounds {
  min_length?: number | undefined;
  max_length?: number | undefined;
  value?: string | undefined;
}

const bounded = (input: Bounds) =>
  (input.min_length ?? 0) <= (input.max_length ?? COMPONENT.inputMax) &&
  // From memory: a pre-filled value longer than max_length is refused.
  (input.value ?? '').length <= (input.max_length ?? COMPONENT.inputMax);
const OUT_OF_BOUNDS = { error: 'Lengths contradict each other.' };

const label = z.strictObject({
  type: z.literal(ComponentType.Label),
  id: componentId,
  label: text(COMPONENT.labelMax, 1),
  description: text(COMPONENT.labelDescriptionMax).optional(),
  component: z.union([
    z.strictObject(inputFields).refine(bounded, OUT_OF_BOUNDS),
    modalSelect,
    modalUserSelect,
    fileUpload,
  ]),
});

/** The older form, deprecated but still taken: one text input in a row, with its own label. */
const inputRow = z.strictObject({
  type: z.literal(ComponentType.ActionRow),
  id: componentId,
  components: z
    .array(
      z
        .strictObject({ ...inputFields, label: text(COMPONENT.labelMax, 1) })
        .refine(bounded, OUT_OF_BOUNDS),
    )
    .length(1),
});

export const modalBody = z
  .strictObject({
    custom_id: customId,
    title: text(MODAL.titleMax, 1),
    components: z
      .array(z.union([label, inputRow]))
      .min(1)
      .max(MODAL.componentsMax),
  })
  .superRefine((modal, context) => {
    const ids = modal.components.map((c) =>
      c.type === ComponentType.Label ? c.component.custom_id : c.components[0]?.custom_id,
    );
    ids.forEach((id, i) => {
      if (ids.indexOf(id) !== i) {
        complain(
          context,
          ['components', i],
          'COMPONENT_CUSTOM_ID_DUPLICATED',
          'Component custom id cannot be duplicated',
        );
      }
    });
  });
