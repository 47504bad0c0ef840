import { createHash } from 'node:crypto';
import type { RawPress } from '../../say/press.ts';
import type { AskField, Form } from '../../say/reply.ts';
import { CUSTOM_ID_MAX } from './limits.ts';

/**
 * What a button or a form does, written into its custom_id, so that it works after a restart and
 * nothing about it is kept in memory:
 *
 *     1 i trip | path | name=text | name#integer | name~number | name!0or1 | ?field | ??title
 *
 * `1` is the version of this form and `i` the button's place, because Discord wants every id on a
 * message to differ. Integers are in base 36: an instant takes 8 characters instead of 13.
 *
 * What doesn't fit is kept in the database, under a fact that goes when the trip is erased:
 *
 *     2 i trip | key
 */
export interface Pressable {
  trip?: string;
  press: RawPress;
  ask?: Form;
}

const VERSION = '1';

/** Undefined when it can't be said in 100 characters; what a form only shows as a help gives way first. */
export function encodePress(press: Pressable, place: number): string | undefined {
  const head = headOf(press, place);
  return askForms(press.ask)
    .map((ask) => [...head, ...ask].join('|'))
    .find((id) => id.length <= CUSTOM_ID_MAX);
}

const KEPT = '2';

/** What a short id stands for, and the fact that it is kept under. */
export interface KeptPress {
  fact: string;
  text: string;
}

/**
 * An id for any press, with what has to be kept for it when it is too long to be said in one: a form keeps
 * its title and its labels, because a person reads them.
 */
export function idOf(press: Pressable, place: number): { customId: string; kept?: KeptPress } {
  const short = encodePress(press, place);
  if (short !== undefined) return { customId: short };
  const [ask = []] = askForms(press.ask);
  const text = [...headOf(press, 0), ...ask].join('|');
  const key = createHash('sha256').update(text).digest('base64url').slice(0, 22);
  const customId = `${KEPT}${place.toString(36)}${escapePart(press.trip ?? '')}|${key}`;
  const fact = keptFactOf(customId);
  return fact === undefined ? { customId } : { customId, kept: { fact, text } };
}

/** The fact a short id stands for; undefined for any other. */
export function keptFactOf(customId: string): string | undefined {
  const [, trip, key] = /^2[0-9a-z]([^|]*)\|([\w-]{22})$/u.exec(customId) ?? [];
  return key === undefined ? undefined : `press:${key}:${unescapePart(trip ?? '')}`;
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

function headOf({ trip, press }: Pressable, place: number): string[] {
  return [
    VERSION + place.toString(36) + escapePart(trip ?? ''),
    escapePart(press.path),
    ...Object.entries(press.options).map(([name, value]) => name + encodeValue(value)),
  ];
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

/** The form in full, then without what only helps. */
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
