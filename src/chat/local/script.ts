import type { UserArg } from '../../app/command.ts';
import { chooseZone } from '../../app/zone-choice.ts';
import { Refusal } from '../../say/refusal.ts';
import { findZone } from '../../time/find-zone.ts';
import { clock } from '../../time/format.ts';
import { isCalendarDay, resolveLocal, type WallTime } from '../../time/zone.ts';
import { speaker } from './speaker.ts';
import { splitWords, withoutComment } from './words.ts';

/** A line of a script: something said, or (without `who`) a time to let the clock run up to. */
export interface Step {
  line: number;
  atMs: number;
  who?: UserArg;
  said?: string;
}

export interface Script {
  file: string;
  zone: string;
  steps: readonly Step[];
}

/** A line that can't be read or played; the message names file and line. */
export class ScriptError extends Error {
  readonly line: number;
  constructor(file: string, line: number, reason: string) {
    super(`${file}:${line}: ${reason}`);
    this.name = 'ScriptError';
    this.line = line;
  }
}

const STEP = /^(\d{4})-(\d{2})-(\d{2})[ T](\d{2}):(\d{2})(?:\s+(\S+)\s+(\S.*))?$/u;

/**
 * Reads a script: one line says when, who, what. A time alone lets the clock run up to it, and `#`
 * starts a comment. Times are local in the zone of a `zone Europe/Oslo` line, which comes first;
 * without one, in the zone that the first `zone:` option names, so that a script which opens a trip
 * needs not say it twice; without either in UTC. A time that a clock change repeats is the earlier
 * of the two, or the later one when the line before it is later than the earlier.
 *
 * @param file its name, for messages
 * @throws ScriptError
 */
export function parseScript(text: string, file: string): Script {
  const lines = text
    .split(/\r?\n/u)
    .map((raw, i) => ({ line: i + 1, text: withoutComment(raw).trim() }))
    .filter(({ text: content }) => content !== '');
  const { zone, rest } = zoneOf(lines, file);
  const steps: Step[] = [];
  for (const { line, text: content } of rest) {
    steps.push(readStep(content, { file, line, zone, afterMs: steps.at(-1)?.atMs }));
  }
  return { file, zone, steps };
}

interface TextLine {
  line: number;
  text: string;
}

function zoneOf(
  lines: readonly TextLine[],
  file: string,
): { zone: string; rest: readonly TextLine[] } {
  const [first, ...others] = lines;
  const said = /^zone\s+(\S.*)$/u.exec(first?.text ?? '')?.[1];
  if (first !== undefined && said !== undefined) {
    const found = findZone(said);
    if (found.ok) return { zone: found.zone, rest: others };
    const what =
      found.may.length === 0
        ? `there is no time zone ${said}`
        : `${said} may be ${found.may.join(', ')}`;
    throw new ScriptError(file, first.line, what);
  }
  for (const { text } of lines) {
    const zone = zoneNamed(text);
    if (zone !== undefined) return { zone, rest: lines };
  }
  return { zone: 'UTC', rest: lines };
}

/** The zone of a line's `zone:`, or of its `lat:` and `lon:` alone, as opening a trip takes it. */
function zoneNamed(text: string): string | undefined {
  const split = splitWords(text);
  const value = (name: string) =>
    split.ok ? split.words.find((w) => w.name === name)?.value : undefined;
  const [zone, lat, lon] = [value('zone'), Number(value('lat')), Number(value('lon'))];
  const atMs = Date.parse(/\d{4}-\d{2}-\d{2}/u.exec(text)?.[0] ?? '');
  if (Number.isNaN(atMs)) return undefined;
  const place = Math.abs(lat) <= 90 && Math.abs(lon) <= 180 ? { lat, lon } : {};
  try {
    return chooseZone({ zone }, place, atMs)?.zone;
  } catch (error) {
    // The line says itself what is wrong with it when it is played.
    if (error instanceof Refusal) return undefined;
    throw error;
  }
}

interface Where {
  file: string;
  line: number;
  zone: string;
  afterMs: number | undefined;
}

function readStep(text: string, where: Where): Step {
  const match = STEP.exec(text);
  if (match === null) {
    const like = 'a line reads: 2031-06-12 14:32  mara  /help';
    throw new ScriptError(where.file, where.line, `this can't be read; ${like}`);
  }
  const [year, month, day, hour, minute] = match.slice(1, 6).map(Number) as [
    number,
    number,
    number,
    number,
    number,
  ];
  const atMs = instant({ year, month, day, hour, minute }, where);
  const [name, said] = [match[6], match[7]];
  if (name === undefined || said === undefined) return { line: where.line, atMs };
  const who = speaker(name);
  if (who === undefined) throw new ScriptError(where.file, where.line, `${name} is not a name`);
  return { line: where.line, atMs, who, said };
}

function instant(wall: WallTime, { file, line, zone, afterMs = -Infinity }: Where): number {
  if (!isCalendarDay(wall) || wall.hour > 23 || wall.minute > 59) {
    throw new ScriptError(file, line, 'there is no such day or time');
  }
  const earlier = resolveLocal(zone, wall, 'earlier');
  if (!earlier.ok)
    throw new ScriptError(file, line, `a clock change in ${zone} leaves this time out`);
  if (earlier.atMs >= afterMs) return earlier.atMs;
  const laterMs = earlier.doubled?.laterMs ?? earlier.atMs;
  if (laterMs >= afterMs) return laterMs;
  throw new ScriptError(file, line, `this is before the line above it (${clock(zone, afterMs)})`);
}
