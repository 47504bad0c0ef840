import { noteOption, pitchOption, toldAtOption } from '../../src/app/options.ts';
import { suggestClimbers } from '../../src/app/who.ts';
import { LIMITS } from '../../src/limits.ts';

/** A climber who led; the subcommands name it in their own words. */
export const leaderOption = (description: string) =>
  ({
    type: 'string',
    description,
    maxLength: LIMITS.nameLength,
    suggest: suggestClimbers,
    closed: true,
  }) as const;

/** A pitch started, fixed or done. */
export const markOptions = {
  number: pitchOption('Which pitch; the one under way when left out'),
  at: toldAtOption,
  leader: leaderOption('Who led it, if not as planned'),
  /** Who said that the rock is dry: asked inside the wet-rock hold. */
  dry: { ...noteOption('Asked before'), hidden: true },
  /** First of several pitches told in one go, up to `number`; those below are done then. */
  from: {
    type: 'integer',
    description: 'First of several',
    hidden: true,
    min: 1,
    max: LIMITS.pitches,
  },
  /** When those below `number` were done isn't known: by then. */
  unknown: { type: 'boolean', description: 'Times below not known', hidden: true },
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const;

/** Which post is meant. */
export const entryOptions = {
  number: pitchOption('The newest post of this pitch'),
  entry: {
    type: 'integer',
    description: 'Number of the post in /log show',
    min: 1,
    max: LIMITS.entry,
  },
} as const;
