/**
 * What a picture of a trip shows, as plain data: height against time. Instants are milliseconds
 * since the Unix epoch; heights are metres of rope above the start of the route.
 */
import type { Hours } from '../../say/hours.ts';
import { timesIn } from '../../say/hours.ts';
import { dayClock } from '../../time/format.ts';
import type { LengthUnit } from '../../trip/units.ts';

export interface Point {
  atMs: number;
  heightM: number;
}

/** A pitch as a band of the picture. */
export interface Level {
  pitch: number;
  /** Height of the anchor at its end. */
  heightM: number;
  leader?: string;
  done: boolean;
  /** Somebody can sleep at its end. */
  bivy: boolean;
}

/** When a height is reached in the projection; an Infinity is drawn as running out of the picture. */
export interface FanPoint {
  heightM: number;
  q10: number;
  q50: number;
  q90: number;
}

/** A time that matters, as a line with words. */
export interface Mark {
  atMs: number;
  kind: 'cutoff' | 'shuttle' | 'watch';
  /** Short: `Last boat 21:15`. */
  label: string;
  /** The one that decides; drawn heavier and said so. */
  binds: boolean;
  /** Height to be reached by then, when it is one on the wall. */
  heightM?: number;
}

export interface Scene {
  title: string;
  /** The answer, in up to two short lines. */
  answer: readonly string[];
  zone: string;
  /** The clock that its times are written by; of 24 hours when left out. */
  hours?: Hours;
  units: LengthUnit;
  nowMs: number;
  levels: readonly Level[];
  planned: readonly Point[];
  /** What was told, oldest first; begins at the start of climbing. */
  actual: readonly Point[];
  /** From now on, upward. */
  fan: readonly FanPoint[];
  /** It is open on which of several days they top out: the time in the middle may be nobody's. */
  topIsOpen?: true;
  /** On the way down, from the top or before it: nobody waits at a stance any more. */
  descending: boolean;
  /** When the party is at the trailhead, or by rappel on the ground, and from which height it comes down. */
  down?: {
    fromMs: number;
    fromM: number;
    q10: number;
    q50: number;
    q90: number;
    /** By rappel; the trailhead otherwise. */
    to?: 'ground';
  };
  /** Spans of dark. */
  nights: readonly { fromMs: number; toMs: number }[];
  /** Rain as it was told for the time ahead, with the chance of it, 0–1; none when left out. */
  rains?: readonly { fromMs: number; toMs: number; chance: number }[];
  marks: readonly Mark[];
  /** What there is to say when there is little to draw. */
  note?: string;
}

/** A time as the picture writes it. */
export function atIn(scene: Pick<Scene, 'zone' | 'hours' | 'nowMs'>, ms: number): string {
  return timesIn(scene.hours, dayClock(scene.zone, ms, scene.nowMs));
}

/** The height of the whole route. */
export function topOf(scene: Pick<Scene, 'levels'>): number {
  return scene.levels.at(-1)?.heightM ?? 0;
}

/** The pitch under way or next; none on the way down. */
export function currentLevel(scene: Pick<Scene, 'levels' | 'descending'>): Level | undefined {
  return scene.descending ? undefined : scene.levels.find((l) => !l.done);
}
