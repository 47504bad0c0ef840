import {
  type APIActionRowComponent,
  type APIButtonComponentWithCustomId,
  type APIButtonComponentWithURL,
  type APIModalInteractionResponseCallbackData,
  ButtonStyle,
  ComponentType,
  TextInputStyle,
} from 'discord.js';
import type { Options } from '../../app/command.ts';
import type { AskField, Button, LinkOut } from '../../say/reply.ts';
import { cut, oneLine } from '../plain.ts';
import { idOf, type KeptPress, type Pressable } from './custom-id.ts';
import {
  BUTTON_LABEL_MAX,
  BUTTONS_PER_ROW,
  LABEL_MAX,
  MODAL_FIELDS_MAX,
  MODAL_TITLE_MAX,
  PLACEHOLDER_MAX,
  ROWS_MAX,
} from './limits.ts';

type AnyButton = APIButtonComponentWithCustomId | APIButtonComponentWithURL;
export type ButtonRow = APIActionRowComponent<AnyButton>;

const STYLES = {
  plain: ButtonStyle.Secondary,
  main: ButtonStyle.Primary,
  danger: ButtonStyle.Danger,
} as const;

/**
 * Rows of five. A button that can't be made is left out and named in `problems`: the answer still
 * goes out, and the test that renders every command fails.
 */
export function buttonRows(
  buttons: readonly Button[],
  trip: string | undefined,
  links: readonly LinkOut[] = [],
): { rows: ButtonRow[]; problems: string[]; kept: KeptPress[] } {
  const problems: string[] = [];
  const kept: KeptPress[] = [];
  const made: AnyButton[] = links.map(({ label, url }) => ({
    type: ComponentType.Button,
    style: ButtonStyle.Link,
    label: cut(oneLine(label), BUTTON_LABEL_MAX),
    url,
  }));
  buttons.forEach((button, place) => {
    const label = oneLine(button.label).trim();
    const id = idOf({ ...button, ...(trip === undefined ? {} : { trip }) }, place);
    if (label === '') problems.push(`button ${place} has no label`);
    else if (made.length === ROWS_MAX * BUTTONS_PER_ROW) problems.push(`button ${label}: too many`);
    else {
      made.push({
        type: ComponentType.Button,
        style: STYLES[button.tone ?? 'plain'],
        label: cut(label, BUTTON_LABEL_MAX),
        custom_id: id.customId,
      });
      if (id.kept !== undefined) kept.push(id.kept);
    }
  });
  const rows: ButtonRow[] = [];
  for (let i = 0; i < made.length; i += BUTTONS_PER_ROW) {
    rows.push({ type: ComponentType.ActionRow, components: made.slice(i, i + BUTTONS_PER_ROW) });
  }
  return { rows, problems, kept };
}

/**
 * The form a press asks for. What the custom_id had no room for comes from the button's label and
 * from the options' own descriptions. Undefined when the press asks for nothing.
 */
export function modalFor(
  press: Pressable,
  buttonLabel: string,
  options: Options,
): { modal: APIModalInteractionResponseCallbackData; kept: KeptPress[] } | undefined {
  const { ask, ...act } = press;
  if (ask === undefined) return undefined;
  const { customId, kept } = idOf(act, 0);
  const fields = ask.fields.slice(0, MODAL_FIELDS_MAX);
  const modal: APIModalInteractionResponseCallbackData = {
    custom_id: customId,
    title: cut(oneLine(ask.title) || oneLine(buttonLabel) || 'Fill in', MODAL_TITLE_MAX),
    components: fields.map((field) => ({
      type: ComponentType.Label,
      label: cut(oneLine(field.label) || options[field.name]?.description || field.name, LABEL_MAX),
      component: textInput(field, options, fields.length === 1),
    })),
  };
  return { modal, kept: kept === undefined ? [] : [kept] };
}

function textInput(field: AskField, options: Options, only: boolean) {
  const def = options[field.name];
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
