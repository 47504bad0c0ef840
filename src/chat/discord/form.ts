import {
  type APILabelComponent,
  type APIModalInteractionResponseCallbackData,
  type APIStringSelectComponent,
  ComponentType,
  TextInputStyle,
} from 'discord.js';
import type { Choice, OptionDef, Options } from '../../app/command.ts';
import type { AskField } from '../../say/reply.ts';
import { cut, oneLine } from '../plain.ts';
import { idOf, type KeptPress, type Pressable } from './custom-id.ts';
import {
  CHOICE_TEXT_MAX,
  LABEL_MAX,
  MODAL_FIELDS_MAX,
  MODAL_TITLE_MAX,
  PLACEHOLDER_MAX,
  SELECT_OPTIONS_MAX,
} from './limits.ts';

/** What can be picked, by the option's name. */
export type Picks = Readonly<Record<string, readonly Choice[]>>;

/** Ends the id of a list beside a line to type in; no option's name has it. */
const BESIDE = '~';

/** The option a field of a form fills in. */
export const optionOf = (fieldId: string): string =>
  fieldId.endsWith(BESIDE) ? fieldId.slice(0, -BESIDE.length) : fieldId;

/** Whether an option can have nothing but what is offered. */
export function isClosed(def: OptionDef | undefined): boolean {
  if (def === undefined) return false;
  if ('choices' in def && def.choices !== undefined) return true;
  if (def.type === 'integer') return def.suggest !== undefined;
  return def.type === 'string' && def.closed === true;
}

/**
 * The form a press asks for. What the custom_id had no room for comes from the button's label and
 * from the options' own descriptions. Undefined when the press asks for nothing.
 *
 * What can be picked is picked: a list takes the place of the line to type in where there is nothing else to
 * be said, and stands below it where there is, as long as the form has room.
 */
export function modalFor(
  press: Pressable,
  buttonLabel: string,
  options: Options,
  picks: Picks,
): { modal: APIModalInteractionResponseCallbackData; kept: KeptPress[] } | undefined {
  const { ask, ...act } = press;
  if (ask === undefined) return undefined;
  const { customId, kept } = idOf(act, 0);
  const fields = ask.fields.slice(0, MODAL_FIELDS_MAX);
  const modal: APIModalInteractionResponseCallbackData = {
    custom_id: customId,
    title: cut(oneLine(ask.title) || oneLine(buttonLabel) || 'Fill in', MODAL_TITLE_MAX),
    components: labelsOf(fields, options, picks),
  };
  return { modal, kept: kept === undefined ? [] : [kept] };
}

/** The fields of a form, each below its label. */
export function labelsOf(
  fields: readonly AskField[],
  options: Options,
  picks: Picks,
): APILabelComponent[] {
  let room = MODAL_FIELDS_MAX - fields.length;
  return fields.flatMap((field) => {
    const def = options[field.name];
    const text = cut(oneLine(field.label) || def?.description || field.name, LABEL_MAX);
    const own = picker(field.name, def);
    if (own !== undefined) return [labelled(text, own)];
    const found = (picks[field.name] ?? []).slice(0, SELECT_OPTIONS_MAX);
    const only = fields.length === 1;
    if (found.length > 0 && isClosed(def)) {
      const required = only || def?.required === true;
      return [labelled(text, list(field.name, found, { required, value: field.value }))];
    }
    // One that is full may be the head of a longer list, which helps only who stands in it.
    const beside = found.length > 0 && found.length < SELECT_OPTIONS_MAX && room > 0;
    if (beside) room -= 1;
    const typed = labelled(text, textInput(field, def, only && !beside));
    if (!beside) return [typed];
    return [typed, labelled('Or pick it', list(field.name + BESIDE, found, { required: false }))];
  });
}

/** What is given by picking it in the app itself: a file, somebody's account. */
function picker(
  name: string,
  def: OptionDef | undefined,
): APILabelComponent['component'] | undefined {
  const required = def?.required === true;
  if (def?.type === 'file') return { type: ComponentType.FileUpload, custom_id: name, required };
  if (def?.type === 'user') return { type: ComponentType.UserSelect, custom_id: name, required };
  return undefined;
}

function labelled(label: string, component: APILabelComponent['component']): APILabelComponent {
  return { type: ComponentType.Label, label, component };
}

function list(
  id: string,
  choices: readonly Choice[],
  { required, value }: { required: boolean; value?: string | undefined },
): APIStringSelectComponent {
  // Two of the same value are refused.
  const apart = new Map(choices.map((c) => [String(c.value).slice(0, CHOICE_TEXT_MAX), c]));
  return {
    type: ComponentType.StringSelect,
    custom_id: id,
    required,
    options: [...apart].map(([text, { name }]) => ({
      label: cut(oneLine(name) || text, CHOICE_TEXT_MAX),
      value: text,
      ...(text === value ? { default: true } : {}),
    })),
  };
}

function textInput(field: AskField, def: OptionDef | undefined, only: boolean) {
  const maxLength = def?.type === 'string' ? Math.min(def.maxLength ?? 1000, 1000) : 100;
  return {
    type: ComponentType.TextInput as const,
    custom_id: field.name,
    style: TextInputStyle.Short,
    // A form of one empty line would say nothing, whatever the option allows.
    required: only || def?.required === true,
    max_length: maxLength,
    ...(field.placeholder === undefined
      ? {}
      : { placeholder: cut(field.placeholder, PLACEHOLDER_MAX) }),
    ...(field.value === undefined ? {} : { value: cut(field.value, maxLength) }),
  };
}
