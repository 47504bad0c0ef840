import { z } from 'zod';

/** Ways to reach one person: by the chat, by mail, by the browser of their phone, by its ntfy app, by a text or a call. */
export const wayName = z.enum(['dm', 'email', 'push', 'ntfy', 'phone']);
/** A way to one person. */
export type Way = z.infer<typeof wayName>;

/** What each way is called in a sentence: `asked by …`. */
export const WAY_WORDS: Readonly<Record<Way, string>> = {
  dm: 'direct message',
  email: 'e-mail',
  push: 'push',
  ntfy: 'ntfy',
  phone: 'phone',
};

/** The step of an alarm from which a way is used; one that isn't named is used from the first. */
export const waysFrom = z.partialRecord(wayName, z.enum(['alert', 'distress']));
/** The step of an alarm from which a way is used. */
export type WaysFrom = z.infer<typeof waysFrom>;

/** Ways that a contact turns on by themselves, where they read their page. */
export const TURNED_ON = ['push', 'ntfy'] as const satisfies readonly Way[];

/** Stands for the device of somebody whom no message reaches yet: the party hands them a link. */
export const BY_LINK = 'link';

/** `+47 900 00 000` → `+4790000000`; undefined without a country code (ITU-T E.164: at most 15 digits). */
export function dialled(phone: string | undefined): string | undefined {
  const digits = phone?.trim().replace(/[\s().-]/gu, '');
  return digits !== undefined && /^\+[1-9]\d{6,14}$/u.test(digits) ? digits : undefined;
}
