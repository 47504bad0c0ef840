import type { z } from 'zod';
import { zodError } from '../errors.ts';

/** The body in its checked form, or 50035 with every complaint. */
export function parse<T>(schema: z.ZodType<T>, body: unknown): T {
  const result = schema.safeParse(body ?? {}, { reportInput: true });
  if (!result.success) throw zodError(result.error);
  return result.data;
}
