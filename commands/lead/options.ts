import { pitchOption } from '../../src/app/options.ts';

/** A pitch that has to be named. */
export const leadPitchOption = (description: string) =>
  ({ ...pitchOption(description), required: true }) as const;

/** Set by the button below what a reassignment would do. */
export const sureOption = {
  type: 'boolean',
  description: 'Seen what it does',
  hidden: true,
} as const;
