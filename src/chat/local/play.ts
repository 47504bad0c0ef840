import type { LocalChannel } from './channel.ts';
import { Unreadable } from './parse-command.ts';
import { isoLocal } from './print.ts';
import { type Script, ScriptError } from './script.ts';
import type { ScriptClock } from './script-clock.ts';

export interface Play {
  channel: LocalChannel;
  script: Script;
  clock: ScriptClock;
  /** Where a `file:` is looked for: the script's own folder. */
  folder: string;
  /** The earliest instant at which the watch has something to do. */
  nextDue?: () => Promise<number | undefined>;
  /** Lets the watch do what is due. */
  onTick?: (nowMs: number) => Promise<void>;
}

export interface Played {
  answers: number;
  refused: number;
}

/** The watch may have this much to do at one and the same instant before we call it stuck. */
const TICKS_PER_INSTANT_MAX = 1000;

/**
 * Plays a script on its own clock: the time before each line passes with everything that falls due
 * in it, in order; then the line is said.
 *
 * @throws ScriptError at the first line that can't be read
 */
export async function play(job: Play): Promise<Played> {
  const played: Played = { answers: 0, refused: 0 };
  for (const step of job.script.steps) {
    await runUpTo(job, step.atMs);
    if (step.who === undefined || step.said === undefined) continue;
    try {
      const reply = await job.channel.say(step.who, step.said, { folder: job.folder });
      played.answers += 1;
      if (reply.refused === true) played.refused += 1;
    } catch (error) {
      if (!(error instanceof Unreadable)) throw error;
      throw new ScriptError(job.script.file, step.line, error.lines.join(' '));
    }
    // What the line has made due at once is told before the next line is said.
    await runUpTo(job, step.atMs);
  }
  return played;
}

async function runUpTo({ clock, nextDue, onTick, script }: Play, targetMs: number): Promise<void> {
  let ticksHere = 0;
  for (;;) {
    const dueMs = await nextDue?.();
    if (dueMs === undefined || dueMs > targetMs) break;
    const atMs = Math.max(dueMs, clock.wallMs());
    ticksHere = atMs === clock.wallMs() ? ticksHere + 1 : 0;
    if (ticksHere > TICKS_PER_INSTANT_MAX) {
      throw new Error(`the watch does not get past ${isoLocal(script.zone, atMs)}`);
    }
    clock.moveTo(atMs);
    await onTick?.(atMs);
  }
  if (targetMs <= clock.wallMs()) return;
  clock.moveTo(targetMs);
  // The watch looks all the time: without this it would take what lies between for a time without a watch.
  await onTick?.(targetMs);
}
