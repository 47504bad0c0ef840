import { linkStartsAt, type Mark, type PitchState, type TripState } from './state.ts';

/**
 * Metres a minute that no party exceeds over a whole pitch, nor a leader over a lead. From memory: the
 * fastest ascents on record of walls of 900 m take about two hours, 7.5 m a minute.
 */
const FASTEST_M_PER_MIN = 8;
/** A pitch of this length or more, in fewer minutes: lead, anchor, follow and clean. Common practice, no source. */
const LONG_M = 20;
const LONG_LEAST_MIN = 5;

/** What a stretch is counted from: its start, or how far the pitch below was when the leader went on. */
interface Began {
  pitch: number;
  mark: 'started' | 'fixed' | 'done';
  told: Mark;
}

/** A pitch or a lead that was told to have taken less time than anybody needs. */
export interface TooQuick {
  /** Last pitch of the stretch. */
  pitch: number;
  mark: 'fixed' | 'done';
  minutes: number;
  lengthM: number;
  /** The post that the stretch is counted from: the start, or the completion or the fixed line of the pitch below. */
  from: Began;
  /** The post that ends it. */
  told: Mark;
}

/**
 * Pitches whose times are possible in order, yet too close together to be true: a slip of the pen, a
 * second post of the same pitch, a post without its own time. Told in one go they are one stretch.
 */
export function tooQuick(state: TripState): TooQuick[] {
  const found: TooQuick[] = [];
  let below: Began | undefined;
  for (const stretch of stretches(state)) {
    const last = stretch.at(-1) as PitchState;
    const from = beganWith(stretch[0] as PitchState, below);
    if (from !== undefined) found.push(...quickMarks(state, stretch, last, from));
    below = endedWith(last);
  }
  return found;
}

/** A leader who fixed the line may have gone on before the others were up. */
function endedWith({ number, fixed, done }: PitchState): Began | undefined {
  if (done !== undefined) {
    return done.timeUnknown === true ? undefined : { pitch: number, mark: 'done', told: done };
  }
  return fixed === undefined ? undefined : { pitch: number, mark: 'fixed', told: fixed };
}

function beganWith(first: PitchState, below: Began | undefined): Began | undefined {
  const { number, started } = first;
  if (started !== undefined) return { pitch: number, mark: 'started', told: started };
  return below;
}

function quickMarks(
  state: TripState,
  stretch: readonly PitchState[],
  last: PitchState,
  from: Began,
): TooQuick[] {
  // A line fixed before then was only followed since, which may be quick.
  if (last.fixed !== undefined && from.mark === 'done' && last.fixed.atMs <= from.told.atMs)
    return [];
  const lengthM = stretch.reduce((sum, p) => sum + p.lengthM, 0);
  const first = stretch[0]?.number ?? last.number;
  return (['fixed', 'done'] as const).flatMap((mark) => {
    const told = last[mark];
    if (told === undefined || told.timeUnknown === true) return [];
    const minutes = minutesBetween(state, from.told, told, first, last.number);
    if (minutes >= leastMin(lengthM, mark)) return [];
    return [{ pitch: last.number, mark, minutes, lengthM, from, told }];
  });
}

/** Fewest minutes that can be true, for a lead or for a whole pitch. */
export function leastMin(lengthM: number, mark: 'fixed' | 'done'): number {
  const least = mark === 'done' && lengthM >= LONG_M ? LONG_LEAST_MIN : 1;
  return Math.max(least, lengthM / FASTEST_M_PER_MIN);
}

function minutesBetween(
  state: TripState,
  from: Mark,
  to: Mark,
  first: number,
  last: number,
): number {
  const rested = state.breaks
    .filter((b) => b.pitch >= first && b.pitch <= last)
    .reduce((sum, b) => sum + b.toMs - b.fromMs, 0);
  return Math.max(0, (to.atMs - from.atMs - rested) / 60_000);
}

/** Pitches by twos of a link, or by those told done in one go. */
function stretches(state: TripState): PitchState[][] {
  const out: PitchState[][] = [];
  for (const pitch of state.pitches) {
    const before = out.at(-1)?.at(-1);
    const together =
      before !== undefined && (linkStartsAt(state, before.number) || inOneGo(before, pitch));
    if (together) out.at(-1)?.push(pitch);
    else out.push([pitch]);
  }
  return out;
}

function inOneGo({ done: a }: PitchState, { done, fixed }: PitchState): boolean {
  // Whoever told the upper one fixed told the lower one done with it.
  const b = done ?? fixed;
  if (a === undefined || b === undefined) return false;
  return b.atMs === a.atMs && b.recordedAtMs === a.recordedAtMs && b.by.id === a.by.id;
}
