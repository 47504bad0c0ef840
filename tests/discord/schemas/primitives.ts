import { z } from 'zod';

/** Complaint in a superRefine, with the code Discord would give it. */
export function complain(
  context: z.RefinementCtx,
  path: readonly PropertyKey[],
  code: string,
  message: string,
): void {
  context.addIssue({ code: 'custom', message, path: [...path], params: { code } });
}

/** Discord counts characters, not UTF-16 units (from memory). */
export function lengthOf(text: string): number {
  return [...text].length;
}

/** Text of `min` to `max` characters. */
export function text(max: number, min = 0) {
  return z.string().superRefine((value, context) => {
    const length = lengthOf(value);
    if (length > max) {
      complain(context, [], 'BASE_TYPE_MAX_LENGTH', `Must be ${max} or fewer in length.`);
    }
    if (length < min) {
      complain(context, [], 'BASE_TYPE_MIN_LENGTH', `Must be ${min} or more in length.`);
    }
  });
}

export const snowflake = z.string().regex(/^\d{1,20}$/u);

/** A bit set written as a decimal string. */
export const permissionBits = z.string().regex(/^\d{1,20}$/u);

/** Integer whose bits are all among `allowed`. */
export function flags(allowed: number) {
  return z
    .int()
    .min(0)
    .superRefine((value, context) => {
      if ((value & ~allowed) !== 0) {
        complain(context, [], 'MESSAGE_FLAGS_INVALID', 'Only documented flags may be set here.');
      }
    });
}

export const httpUrl = z.string().regex(/^https?:\/\/\S+$/u);
export const mediaUrl = z.string().regex(/^(https?|attachment):\/\/\S+$/u);

/** resources/emoji.mdx, a partial emoji. */
export const partialEmoji = z.strictObject({
  id: snowflake.nullish(),
  name: z.string().nullish(),
  animated: z.boolean().optional(),
});
