import { z } from 'zod';
import { type Seals, sameSeal } from '../../app/page/seals.ts';
import type { RawPress } from '../../say/press.ts';
import type { Button } from '../../say/reply.ts';
import { type Html, html, unsafeHtml } from '../server/html.ts';

/** Whose page it is, and what stood when it was made. */
export interface FormContext {
  trip: string;
  person: string;
  /** Path of the page, where its forms are sent. */
  path: string;
  /** Entry that raised the alarm that stood; 0 for none. What was offered belongs to it. */
  seen: number;
  seals: Seals;
  /** Names one form; sent twice it is one post. */
  once(): string;
}

const carried = z.strictObject({
  path: z.string().max(60),
  options: z.record(z.string(), z.union([z.string(), z.number(), z.boolean()])),
  /** Options that the form asks for. */
  asks: z.array(z.string()),
  seen: z.int().min(0),
  once: z.string().min(1).max(60),
});

/** One line or choice of a form. */
export interface Field {
  name: string;
  label: string;
  placeholder?: string | undefined;
  value?: string | undefined;
  choices?: readonly { value: string; label: string }[];
}

/** A field takes this many characters, as a note does. */
const FIELD_MAX = 300;

/**
 * A button as a form: sent by POST, so that whoever only opens a link presses nothing.
 *
 * @param more `hidden` for one that a script has to show; `extra` are fields of the page's own
 */
export function formOf(
  context: FormContext,
  button: Pick<Button, 'label' | 'tone'> & { press: RawPress },
  fields: readonly Field[] = [],
  more: { hidden?: true; extra?: Html } = {},
): Html {
  const { trip, person, path, seen, seals } = context;
  const what = JSON.stringify({
    path: button.press.path,
    options: button.press.options,
    asks: fields.map((f) => f.name),
    seen,
    once: context.once(),
  } satisfies z.input<typeof carried>);
  return html`<form method="post" action="${path}"${more.hidden === true ? unsafeHtml(' hidden') : ''}>
<input type="hidden" name="what" value="${what}"><input type="hidden" name="seal" value="${seals.form(trip, person, what)}">
${more.extra}${fields.map(fieldOf)}
<button class="act" type="submit">${button.label}</button>
</form>`;
}

function fieldOf({ name, label, placeholder, value, choices }: Field): Html {
  if (choices !== undefined) {
    return html`<p><label>${label}<br><select name="f.${name}">${choices.map(
      (c) =>
        html`<option value="${c.value}"${c.value === value ? unsafeHtml(' selected') : ''}>${c.label}</option>`,
    )}</select></label></p>`;
  }
  return html`<p><label>${label}<br><input name="f.${name}" maxlength="${FIELD_MAX}" autocomplete="off" value="${value ?? ''}" placeholder="${placeholder ?? ''}"></label></p>`;
}

/** A form that came back, as it was offered and filled in. */
export interface Sent {
  press: RawPress;
  seen: number;
  once: string;
}

/** Reads a form that came back; undefined when it was never offered to this person on this trip. */
export function readForm(
  { trip, person, seals }: Pick<FormContext, 'trip' | 'person' | 'seals'>,
  body: unknown,
): Sent | undefined {
  const { what, seal, ...rest } = (body ?? {}) as Record<string, unknown>;
  if (typeof what !== 'string' || typeof seal !== 'string') return undefined;
  if (!sameSeal(seal, seals.form(trip, person, what))) return undefined;
  const { path, options, asks, seen, once } = carried.parse(JSON.parse(what));
  const filled = asks.flatMap((name): [string, string][] => {
    const value = rest[`f.${name}`];
    if (typeof value !== 'string' || value.trim() === '') return [];
    return [[name, value.trim().slice(0, FIELD_MAX)]];
  });
  return { press: { path, options: { ...options, ...Object.fromEntries(filled) } }, seen, once };
}
