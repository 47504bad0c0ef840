import type { UserArg } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { parseAid } from '../../src/trip/aid.ts';
import { parseGrade } from '../../src/trip/grade.ts';
import { type PersonFields, personFields, type Role } from '../../src/trip/people.ts';

/** What /roster add and edit take; `none` in a text takes a value away. */
export interface PersonInput {
  user?: UserArg | undefined;
  role?: string | undefined;
  free?: string | undefined;
  aid?: string | undefined;
  leads?: boolean | undefined;
  email?: string | undefined;
  phone?: string | undefined;
  age?: number | undefined;
  clothing?: string | undefined;
  medical?: string | undefined;
  order?: number | undefined;
  ways?: string | undefined;
}

export type Patch = { [K in keyof PersonFields]?: PersonFields[K] | null };

const TEXTS = ['phone', 'clothing', 'medical'] as const;

/** Reads the typed values; every mistake is named, with how it would be right. */
export function readFields(input: PersonInput): Patch {
  const patch: Patch = {};
  const problems: string[] = [];
  readGrades(input, patch, problems);
  if (input.email !== undefined) patch.email = readEmail(input.email, problems);
  for (const key of TEXTS) {
    const value = input[key];
    if (value !== undefined) patch[key] = isNone(value) ? null : value.trim();
  }
  if (input.user !== undefined) patch.userId = input.user.id;
  if (input.role !== undefined) patch.roles = [input.role as Role];
  if (input.leads !== undefined) patch.leads = input.leads;
  if (input.age !== undefined) patch.age = input.age;
  if (input.order !== undefined) patch.order = input.order;
  if (input.ways !== undefined) patch.ways = input.ways.split('+') as ('dm' | 'email')[];
  if (problems.length > 0) throw new Refusal(problems);
  return patch;
}

function readGrades(input: PersonInput, patch: Patch, problems: string[]): void {
  const { free, aid } = input;
  if (free !== undefined) {
    const grade = isNone(free) ? null : parseGrade(free);
    if (grade === undefined) {
      problems.push(`free: ${free} isn't a grade known here. Write 5.10a, 6b+ or VII-.`);
    } else patch.free = grade === null ? null : grade.text;
  }
  if (aid !== undefined) {
    const grade = isNone(aid) ? null : parseAid(aid);
    if (grade === undefined) problems.push(`aid: ${aid} isn't an aid grade. Write A0–A5 or C0–C5.`);
    else patch.aid = grade === null ? null : grade.text;
  }
}

function readEmail(typed: string, problems: string[]): string | null {
  if (isNone(typed)) return null;
  const email = typed.trim();
  if (!personFields.shape.email.safeParse(email).success) {
    problems.push(`email: ${typed} doesn't look like an address. Write name@example.org.`);
  }
  return email;
}

function isNone(text: string): boolean {
  return text.trim().toLowerCase() === 'none';
}
