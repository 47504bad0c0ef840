import type { RawPress } from '../../say/press.ts';
import type { AskField, Form } from '../../say/reply.ts';
import { CUSTOM_ID_MAX } from './limits.ts';

/**
 * What a button or a form does, written into its custom_id, so that it works after a restart and
 * nothing about it is kept in memory or in the database:
 *
 *     1 i trip | path | name=text | name#integer | name~number | name!0or1 | ?field | ??title
 *
 * `1` is the version of this form and `i` the button's place, because Discord wants every id on a
 * message to differ. Integers are in base 36: an instant takes 8 characters instead of 13.
 */
export interface Pressable {
  trip?: string;
  press: RawPress;
  ask?: Form;
}

const VERSION = '1';

/** Undefined when it can't be said in 100 characters; what a form only shows gives way first. */
export function encodePress(press: Pressable, place: number): string | undefined {
  const head = [
    VERSION + place.toString(36) + escapePart(press.trip ?? ''),
    escapePart(press.press.path),
    ...Object.entries(press.press.options).map(([name, value]) => name + encodeValue(value)),
  ];
  return askForms(press.ask)
    .map((ask) => [...head, ...ask].join('|'))
    .find((id) => id.length <= CUSTOM_ID_MAX);
}

/** Undefined for an id that is not ours or of a version before or after this one. */
export function decodePress(customId: string): Pressable | undefined {
  const [head = '', path = '', ...parts] = customId.split('|');
  if (head[0] !== VERSION || head.length < 2 || path === '') return undefined;
  const options: Record<string, string | number | boolean> = {};
  const fields: AskField[] = [];
  let title = '';
  for (const part of parts) {
    if (part.startsWith('??')) title = unescapePart(part.slice(2));
    else if (part.startsWith('?')) fields.push(decodeField(part.slice(1)));
    else {
      const option = decodeValue(part);
      if (option === undefined) return undefined;
      options[option.name] = option.value;
    }
  }
  const trip = unescapePart(head.slice(2));
  return {
    ...(trip === '' ? {} : { trip }),
    press: { path: unescapePart(path), options },
    ...(fields.length === 0 ? {} : { ask: { title, fields } }),
  };
}

function encodeValue(value: string | number | boolean): string {
  if (typeof value === 'string') return `=${escapePart(value)}`;
  if (typeof value === 'boolean') return value ? '!1' : '!0';
  return Number.isSafeInteger(value) ? `#${value.toString(36)}` : `~${value}`;
}

function decodeValue(part: string): { name: string; value: string | number | boolean } | undefined {
  const match = /^([^=#~!]+)([=#~!])(.*)$/su.exec(part);
  const [, name = '', sign, text = ''] = match ?? [];
  if (sign === '=') return { name, value: unescapePart(text) };
  if (sign === '!') return { name, value: text === '1' };
  const number = sign === '#' ? Number.parseInt(text, 36) : Number(text);
  return match === null || !Number.isFinite(number) ? undefined : { name, value: number };
}

/**
 * The form in full, then with less and less of what it only shows. A missing label or title is made
 * up from the option's description and the button's label when the form opens.
 */
function askForms(ask: Form | undefined): string[][] {
  if (ask === undefined) return [[]];
  const fields = (...keep: ('label' | 'placeholder' | 'value')[]) =>
    ask.fields.map((field) => {
      const kept = (['label', 'placeholder', 'value'] as const).map((key) =>
        keep.includes(key) ? escapePart(field[key] ?? '') : '',
      );
      return `?${[field.name, ...kept].join(';').replace(/;+$/u, '')}`;
    });
  const title = `??${escapePart(ask.title)}`;
  return [
    [title, ...fields('label', 'placeholder', 'value')],
    [title, ...fields('label', 'value')],
    fields('label', 'value'),
    fields('value'),
    fields(),
  ];
}

function decodeField(text: string): AskField {
  const [name = '', label = '', placeholder = '', value = ''] = text.split(';').map(unescapePart);
  return {
    name,
    label,
    ...(placeholder === '' ? {} : { placeholder }),
    ...(value === '' ? {} : { value }),
  };
}

function escapePart(text: string): string {
  return text.replace(/%/gu, '%0').replace(/\|/gu, '%1').replace(/;/gu, '%2');
}

function unescapePart(text: string): string {
  return text.replace(/%([012])/gu, (_, digit: string) => '%|;'[Number(digit)] ?? '');
}
