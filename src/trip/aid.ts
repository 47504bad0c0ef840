/**
 * Aid grades: A where a hammer is allowed, C climbed clean; one number scale 0–5, with `+` between.
 * There is no published conversion to free grades, and none is made here.
 */
export interface AidGrade {
  /** As written, tidied: `A2`, `C1+`. */
  text: string;
  /** 0–5, a half more with `+`. */
  rank: number;
}

/** Reads `A0`–`A5` or `C0`–`C5`, with `+` up to 4+. Undefined otherwise. */
export function parseAid(typed: string): AidGrade | undefined {
  const match = /^([ac])([0-5])(\+?)$/i.exec(typed.trim());
  if (match === null) return undefined;
  const [, letter, digit, plus] = match;
  if (digit === '5' && plus === '+') return undefined;
  return {
    text: `${(letter as string).toUpperCase()}${digit}${plus}`,
    rank: Number(digit) + (plus === '+' ? 0.5 : 0),
  };
}
