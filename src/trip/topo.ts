import { z } from 'zod';
import { LIMITS } from '../limits.ts';
import { type AidGrade, parseAid } from './aid.ts';
import { type Grade, parseGrade } from './grade.ts';

/** Grades are stored as written, so that a better comparison table reads old trips too. */
const freeText = z.string().refine((t) => parseGrade(t) !== undefined, 'not a free grade');
const aidText = z.string().refine((t) => parseAid(t) !== undefined, 'not an aid grade');

/** One pitch as it stands in the record. Lengths are metres (1 ft = 0.3048 m exactly). */
export const pitchData = z.strictObject({
  number: z.int().min(1).max(LIMITS.pitches),
  lengthM: z.number().positive().max(LIMITS.pitchLengthM),
  free: freeText.optional(),
  aid: aidText.optional(),
  /** Free *or* aid: whoever leads chooses. Left out, a pitch with both grades asks for both. */
  either: z.literal(true).optional(),
  stance: z.enum(['ledge', 'semi', 'hanging']),
  bivy: z.enum(['none', 'ledge', 'portaledge']),
  /** People who can lie down; for a ledge bivy. */
  places: z.int().min(1).max(20).optional(),
  /**
   * Whether one can rappel from this pitch's anchor; not known when left out. A traverse or a roof is a pitch that no
   * rope goes back over, from this anchor nor from one above.
   */
  rappel: z.union([z.boolean(), z.enum(['traverse', 'roof'])]).optional(),
  note: z.string().max(LIMITS.noteLength).optional(),
  /** The party's own figure for the whole pitch, minutes. */
  expectedMin: z.number().positive().max(1440).optional(),
});

/** A pitch as it is recorded, its grades as written. */
export type PitchData = z.infer<typeof pitchData>;

/** Where a pitch ends: room to stand, partly in the harness, or all of it. */
export type Stance = PitchData['stance'];

/** What each stance is called. */
export const STANCE_WORDS: Readonly<Record<Stance, string>> = {
  ledge: 'ledge',
  semi: 'semi-hanging stance',
  hanging: 'hanging stance',
};

/** A pitch of the topo, its grades read. `lengthM` in metres, `expectedMin` in minutes. */
export interface TopoPitch {
  number: number;
  lengthM: number;
  free?: Grade;
  aid?: AidGrade;
  /** Free or aid, as whoever leads chooses. */
  either?: true;
  stance: Stance;
  bivy: 'none' | 'ledge' | 'portaledge';
  places?: number;
  rappel?: PitchData['rappel'];
  note?: string;
  expectedMin?: number;
}

/** The pitch with its grades read; grades the tables no longer know are left out. */
export function readPitch(data: PitchData): TopoPitch {
  const { free, aid, either, places, rappel, note, expectedMin, ...rest } = data;
  const freeGrade = free === undefined ? undefined : parseGrade(free);
  const aidGrade = aid === undefined ? undefined : parseAid(aid);
  return {
    ...rest,
    ...(freeGrade === undefined ? {} : { free: freeGrade }),
    ...(aidGrade === undefined ? {} : { aid: aidGrade }),
    ...(either === true && freeGrade !== undefined && aidGrade !== undefined ? { either } : {}),
    ...(places === undefined ? {} : { places }),
    ...(rappel === undefined ? {} : { rappel }),
    ...(note === undefined ? {} : { note }),
    ...(expectedMin === undefined ? {} : { expectedMin }),
  };
}

/** The two styles in which a pitch can be led. */
export type Style = 'free' | 'aid';

/** The pitch as it is led in one style, where there is a choice: with the grade of that style alone. */
export function ledIn<P extends Pick<TopoPitch, 'free' | 'aid' | 'either'>>(
  pitch: P,
  style: Style,
): P {
  if (pitch.either !== true) return pitch;
  const { free, aid, either: _chosen, ...rest } = pitch;
  return (style === 'free' ? { ...rest, free } : { ...rest, aid }) as unknown as P;
}

/** How a pitch is climbed: on aid when it has an aid grade above A0/C0 (A0 goes about as fast as free). */
export function modeOf(pitch: Pick<TopoPitch, 'free' | 'aid'>): 'free' | 'aid' {
  if (pitch.aid === undefined) return 'free';
  return pitch.aid.rank > 0 || pitch.free === undefined ? 'aid' : 'free';
}

/** `6b`, `A2`, `6b A0`, `7b or C1`, or `no grade`. */
export function gradeText(pitch: Pick<TopoPitch, 'free' | 'aid' | 'either'>): string {
  const between = pitch.either === true ? ' or ' : ' ';
  return [pitch.free?.text, pitch.aid?.text].filter(Boolean).join(between) || 'no grade';
}
