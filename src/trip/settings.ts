import { z } from 'zod';
import { LIMITS } from '../limits.ts';

/** Local clock time of the wall, `06:30`. */
export const clockText = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/);

/** Which way a wall may face. */
export const ROCK_FACES = [
  ...(['north', 'north-east', 'east', 'south-east'] as const),
  ...(['south', 'south-west', 'west', 'north-west'] as const),
] as const;

/** One of them. */
export type RockFace = (typeof ROCK_FACES)[number];

/**
 * What a party sets for the whole trip. Lengths in metres, durations in minutes.
 * Defaults marked with their origin; every one can be changed with /trip edit.
 */
export const settingsSchema = z.strictObject({
  /** Lead line, 20–120 m. 70 m is usual (common practice, no source). */
  leadLineM: z.number().min(20).max(120).default(70),
  /** Rope kept back for knots, anchor and stretch when pitches are linked, 0–30 m. Engineering choice. */
  leadMarginM: z.number().min(0).max(30).default(5),
  /** Haul line, 20–200 m; 0: none is carried; not known when left out. */
  haulLineM: z.union([z.literal(0), z.number().min(20).max(200)]).optional(),
  /** Tag line, 20–200 m; 0: none is carried; not known when left out. */
  tagLineM: z.union([z.literal(0), z.number().min(20).max(200)]).optional(),
  /** A haul bag goes up the wall. */
  haulBag: z.boolean().default(false),
  /** Weight of the bag, kg. */
  bagKg: z.number().min(0).max(300).optional(),
  /** Places on the portaledges carried, 0–8; 0 is none. Left out: one large enough is taken along where the topo names it. */
  portaledgePlaces: z.int().min(0).max(8).optional(),
  /** From leaving home, the hut or the stop to the first move: shuttle and walk-in, minutes; 0 is not known. */
  approachMin: z.number().min(0).max(1440).default(0),
  /** First day of climbing, `2031-06-12`; the next possible one when left out. */
  firstDay: z.iso.date().optional(),
  /** Planned start of climbing each day. Engineering choice. */
  startClock: clockText.default('06:00'),
  /** No pitch is begun after this. Engineering choice: change it to your own. */
  stopClock: clockText.default('21:00'),
  /** The party's own figure for the way from the top to the trailhead. */
  descentMin: z.number().min(0).max(2880).optional(),
  /** Or the path down, for the walking rule. */
  descentKm: z.number().min(0).max(60).optional(),
  descentUpM: z.number().min(0).max(4000).optional(),
  descentDownM: z.number().min(0).max(4000).optional(),
  /** The walk when the last shuttle has gone. */
  walkKm: z.number().min(0).max(100).optional(),
  walkUpM: z.number().min(0).max(4000).optional(),
  walkDownM: z.number().min(0).max(4000).optional(),
  /** Days after its last word until the record erases itself; what whoever runs the bot has set, where that is fewer or this is left out. */
  keepDays: z.int().min(1).max(3650).optional(),
  /** The clock that times are written by; typed times may be either. */
  hours: z.union([z.literal(12), z.literal(24)]).default(24),
  /** Hours without climbing after rain has ended: 24, 48 or 72. Advice; the land manager's rule holds. */
  wetHours: z.number().min(0).max(168).default(24),
  /** Who says so: the land manager first. */
  wetSource: z.string().trim().min(1).max(LIMITS.noteLength).optional(),
  /** The rule those hours are from, as it was typed, where they depend on the wall or the season. */
  wetRule: z.string().trim().min(1).max(LIMITS.noteLength).optional(),
  /** How warm it will be: what a person drinks. */
  heat: z.enum(['cold', 'mild', 'hot']).optional(),
  /** Which way the wall faces. */
  faces: z.enum(ROCK_FACES).optional(),
  /** How fast the party says it is; what is believed of its pace before anything is climbed. */
  party: z.enum(['first', 'average', 'efficient']).optional(),
  /** Overrides of the forecast's defaults by name. */
  pace: z.record(z.string(), z.number()).default({}),
});

/** The settings of a trip with their defaults filled in. */
export type TripSettings = z.infer<typeof settingsSchema>;

/** A change of settings: only what is named changes; null goes back to the default. */
export const settingsPatch = z
  .record(
    z.string(),
    z.union([z.number(), z.string(), z.boolean(), z.null(), z.record(z.string(), z.number())]),
  )
  .superRefine((patch, context) => {
    for (const [key, value] of Object.entries(patch)) {
      const shape = (settingsSchema.shape as Record<string, z.ZodType>)[key];
      if (shape === undefined) {
        context.addIssue({ code: 'custom', path: [key], message: 'is not a setting' });
      } else if (value !== null) {
        const parsed = shape.safeParse(value);
        const message = parsed.error?.issues[0]?.message;
        if (message !== undefined) context.addIssue({ code: 'custom', path: [key], message });
      }
    }
  });

/** The settings of a trip that has set nothing. */
export function defaultSettings(): TripSettings {
  return settingsSchema.parse({});
}
