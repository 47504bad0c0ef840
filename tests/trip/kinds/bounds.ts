/** Good and bad data at the bounds of a field. */
import { LIMITS } from '../../../src/limits.ts';

/** Good and bad data of one kind; several pairs each. */
export type Shapes = Record<string, readonly (readonly [readonly object[], readonly object[]])[]>;

export const text = (length: number) => 'x'.repeat(length);
export const many = <T>(count: number, make: (i: number) => T) =>
  Array.from({ length: count }, (_, i) => make(i));

/** A text of 1 to `max` characters in a field, beside what else the entry needs. */
export function bounded(
  field: string,
  max: number,
  rest: object = {},
): [good: object[], bad: object[]] {
  return [
    [
      { ...rest, [field]: text(1) },
      { ...rest, [field]: text(max) },
    ],
    [
      { ...rest, [field]: '' },
      { ...rest, [field]: text(max + 1) },
      { ...rest, [field]: 5 },
    ],
  ];
}

/** The same for a whole number. */
export function whole(
  field: string,
  min: number,
  max: number,
  rest: object = {},
): [good: object[], bad: object[]] {
  return [
    [
      { ...rest, [field]: min },
      { ...rest, [field]: max },
    ],
    [
      { ...rest, [field]: min - 1 },
      { ...rest, [field]: max + 1 },
      { ...rest, [field]: min + 0.5 },
      { ...rest, [field]: String(min) },
    ],
  ];
}

export const pitch = (min = 1, rest: object = {}, field = 'pitch') =>
  whole(field, min, LIMITS.pitches, rest);
export const noted = (field: string, rest: object = {}) => bounded(field, LIMITS.noteLength, rest);
