import transliterate from '@sindresorhus/transliterate';
import { z } from 'zod';
import { LIMITS } from '../limits.ts';
import { isLocale } from '../say/contact/languages.ts';
import { isZone } from '../time/zone.ts';
import { type AidGrade, parseAid } from './aid.ts';
import { type Grade, parseGrade } from './grade.ts';
import { readTopic } from './topic.ts';
import { wayName, waysFrom } from './ways.ts';

/**
 * What somebody does on the trip: climbs, helps from the ground, or waits at home as check-in
 * contact.
 */
export const roleSchema = z.enum(['climber', 'ground', 'contact']);
/** One role on the trip. */
export type Role = z.infer<typeof roleSchema>;

const name = z.string().trim().min(1).max(LIMITS.nameLength);
const note = z.string().max(LIMITS.noteLength);

/** What can be said of a person; all but the name may come later. */
export const personFields = z.strictObject({
  name,
  roles: z.array(roleSchema).min(1),
  userId: z.string().max(64).optional(),
  /** Ceilings: the hardest grade this climber means to lead on this trip. */
  free: z
    .string()
    .refine((t) => parseGrade(t) !== undefined)
    .optional(),
  aid: z
    .string()
    .refine((t) => parseAid(t) !== undefined)
    .optional(),
  /** False for a climber who follows only, or is hurt. */
  leads: z.boolean().optional(),
  email: z.email().max(254).optional(),
  phone: z.string().max(40).optional(),
  /** The topic of an ntfy server that their phone listens to, as a contact named it: `https://ntfy.example.org/dana-k3f9`. */
  ntfy: z
    .string()
    .refine((t) => readTopic(t) !== undefined, 'not the address of a topic')
    .optional(),
  /** For the sheet a contact reads out: as given, never guessed. */
  age: z.int().min(5).max(110).optional(),
  clothing: note.optional(),
  medical: note.optional(),
  /** Where they wait, when it isn't the wall's time: an IANA zone. */
  zone: z.string().max(64).refine(isZone, 'not a zone of the tz database').optional(),
  /** What they read, as a contact picked it or their chat says it: a BCP 47 tag like `de` or `en-US`. */
  locale: z.string().max(35).refine(isLocale, 'not a language tag').optional(),
  /** A contact's order of being told: 1 first; by which ways, the first first; and from which step of an alarm. */
  order: z.int().min(1).max(20).optional(),
  ways: z.array(wayName).max(5).optional(),
  from: waysFrom.optional(),
});

/** A person's fields as they are recorded. */
export type PersonFields = z.infer<typeof personFields>;

/** A person on the roster. Times are epoch milliseconds. */
export interface Person extends Omit<PersonFields, 'free' | 'aid' | 'leads'> {
  /** Short and stable within the trip: `mara`. */
  id: string;
  free?: Grade;
  aid?: AidGrade;
  leads: boolean;
  joinedAtMs: number;
  /** Is or was a climber of this trip, so that what they led stands when they become ground crew. */
  hasClimbed?: true;
  /** Said to be off the wall when they left the roster. */
  out?: true;
  /** Set when the person left the trip; the record keeps what they did. */
  leftAtMs?: number;
}

/** Applies fields on a person; a field given as `null` in a patch is taken away beforehand. */
export function readPerson(id: string, fields: PersonFields, joinedAtMs: number): Person {
  const { free, aid, leads, ...rest } = fields;
  const freeGrade = free === undefined ? undefined : parseGrade(free);
  const aidGrade = aid === undefined ? undefined : parseAid(aid);
  return {
    ...rest,
    id,
    leads: leads ?? true,
    joinedAtMs,
    ...(rest.roles.includes('climber') ? { hasClimbed: true as const } : {}),
    ...(freeGrade === undefined ? {} : { free: freeGrade }),
    ...(aidGrade === undefined ? {} : { aid: aidGrade }),
  };
}

/** `Pål Ås` → `pal-as`, `Łucja` → `lucja`: an id people can type. Falls back to `p` for a script that has no Latin letters. */
export function personId(name: string, taken: readonly string[]): string {
  const base =
    transliterate(name)
      .toLowerCase()
      .replace(/[^a-z0-9]+/g, '-')
      .replace(/^-+|-+$/g, '')
      .slice(0, 24) || 'p';
  if (!taken.includes(base)) return base;
  for (let n = 2; ; n++) if (!taken.includes(`${base}-${n}`)) return `${base}-${n}`;
}

/** Begins the id of a user of the local channel, who has no account and is known by name. */
export const LOCAL_PREFIX = 'local:';

/** The user ids that somebody on the roster posts by. */
export function accountsOf({ userId, name: called }: Pick<Person, 'userId' | 'name'>): string[] {
  return [userId ?? LOCAL_PREFIX + foldedName(called)];
}

/** A name for comparing: case and Unicode's composed or decomposed forms don't count. */
export function foldedName(called: string): string {
  return called.trim().normalize('NFC').toLowerCase();
}
