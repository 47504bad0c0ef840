import { z } from 'zod';

/** Instants that a record may hold: the years 1970 to 2199, epoch milliseconds. No wall clock is read outside of them. */
export const INSTANTS = { fromMs: 0, toMs: Date.UTC(2200, 0, 1) - 1 } as const;

/** An instant in the data of a fact, epoch milliseconds. */
export const instant = z.int().min(INSTANTS.fromMs).max(INSTANTS.toMs);

/** Whether a time can be that of a fact. */
export function isInstant(ms: number): boolean {
  return ms >= INSTANTS.fromMs && ms <= INSTANTS.toMs;
}
