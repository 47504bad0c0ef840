import { Refusal } from '../../src/say/refusal.ts';

/** `9:00`, `0900` and `09:00` become `09:00`. */
export function clockOf(option: string, typed: string): string {
  const match = /^(\d{1,2})[:.]?(\d{2})$/.exec(typed.trim());
  const [hour, minute] = [Number(match?.[1]), Number(match?.[2])];
  if (match === null || hour > 23 || minute > 59) {
    throw new Refusal('unreadable-value', `${option}: ${typed} isn't a clock time like 21:00.`);
  }
  return `${String(hour).padStart(2, '0')}:${String(minute).padStart(2, '0')}`;
}
