import type { OptionDef } from '../app/command.ts';

export type Typed = { ok: true; value: string | number | boolean } | { ok: false; problem: string };

const YES = new Set(['yes', 'y', 'true', 'on', '1']);
const NO = new Set(['no', 'n', 'false', 'off', '0']);

/**
 * What a person typed, as the value the option wants: for the terminal and for forms. Limits are
 * checked by dispatch, which checks every value wherever it came from. A choice may be typed by its
 * name or by its value.
 */
export function typedValue(def: OptionDef, text: string): Typed {
  if (def.type === 'boolean') return booleanValue(text);
  if (def.type === 'user' || def.type === 'file') return { ok: false, problem: `a ${def.type}` };
  return choiceOr(def as ChoosingOption, text);
}

type ChoosingOption = Extract<OptionDef, { type: 'string' | 'integer' }>;

function choiceOr(def: ChoosingOption, text: string): Typed {
  const choice = def.choices?.find((c) => same(c.name, text) || same(String(c.value), text));
  if (choice !== undefined) return { ok: true, value: choice.value };
  if (def.type === 'string') return { ok: true, value: text };
  const number = Number(text.trim());
  if (text.trim() === '' || !Number.isFinite(number)) return { ok: false, problem: 'a number' };
  return { ok: true, value: number };
}

function booleanValue(text: string): Typed {
  const word = text.trim().toLowerCase();
  if (YES.has(word)) return { ok: true, value: true };
  if (NO.has(word)) return { ok: true, value: false };
  return { ok: false, problem: 'yes or no' };
}

function same(a: string, b: string): boolean {
  return a.toLowerCase() === b.trim().toLowerCase();
}
