import type { Args } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { zonesLike } from '../../src/time/find-zone.ts';
import { isZone } from '../../src/time/zone.ts';
import { parseAid } from '../../src/trip/aid.ts';
import { parseGrade } from '../../src/trip/grade.ts';
import { type PersonFields, personFields } from '../../src/trip/people.ts';
import type { fieldOptions } from './options.ts';
import { parseWays } from './ways.ts';

type PersonArgs = Args<typeof fieldOptions>;

export type Patch = { [K in keyof PersonFields]?: PersonFields[K] | null };

const TEXTS = ['phone', 'clothing', 'medical'] as const;

/** Reads the typed values; every mistake is named, with how it would be right. */
export function readFields(args: PersonArgs): Patch {
  const patch: Patch = {};
  const problems: string[] = [];
  readGrades(args, patch, problems);
  if (args.email !== undefined) patch.email = readEmail(args.email, problems);
  for (const key of TEXTS) {
    const value = args[key];
    if (value !== undefined) patch[key] = isNone(value) ? null : value.trim();
  }
  if (args.zone !== undefined) patch.zone = readZone(args.zone, problems);
  if (args.user !== undefined) patch.userId = args.user.id;
  if (args.role !== undefined) patch.roles = [args.role];
  if (args.leads !== undefined) patch.leads = args.leads;
  if (args.age !== undefined) patch.age = args.age;
  if (args.order !== undefined) patch.order = args.order;
  if (args.ways !== undefined) readWays(args.ways, patch, problems);
  if (problems.length > 0) throw new Refusal('unreadable-value', problems);
  return patch;
}

function readWays(typed: string, patch: Patch, problems: string[]): void {
  const read = isNone(typed) ? {} : parseWays(typed);
  if ('problem' in read) problems.push(read.problem);
  else {
    patch.ways = read.ways ?? null;
    patch.from = read.from ?? null;
  }
}

function readGrades(args: PersonArgs, patch: Patch, problems: string[]): void {
  const { free, aid } = args;
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

function readZone(typed: string, problems: string[]): string | null {
  if (isNone(typed)) return null;
  const [zone] = isZone(typed.trim()) ? [typed.trim()] : zonesLike(typed);
  if (zone === undefined) problems.push(`zone: ${typed} isn't known. Write a city, like Oslo.`);
  return zone ?? null;
}

function isNone(text: string): boolean {
  return text.trim().toLowerCase() === 'none';
}
