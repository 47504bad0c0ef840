/** A published or common reading of how long wet sandstone needs, to be shown with its source. */
export interface WetRockAdvice {
  /** Shortest and longest wait named, hours from the end of rain. */
  fromH: number;
  toH: number;
  text: string;
  source: string;
  /** `rule` where a land manager or a climbing code forbids, else what people advise. */
  standing: 'rule' | 'published' | 'practice';
}

/** Readings from the shortest wait to the longest. */
export const WET_ROCK_ADVICE: readonly WetRockAdvice[] = [
  {
    fromH: 24,
    toH: 24,
    text: 'Where climbing on wet or damp sandstone is forbidden, the rule is read as: not in rain, and not for 24 h after.',
    source:
      'Saxon climbing rules §4.3 (seilwurf.org ?p=135612), as read at weinberghaus-saechsische-schweiz.de',
    standing: 'rule',
  },
  {
    fromH: 24,
    toH: 48,
    text: 'Wait 24 to 48 h after rain or snow. Wet sandstone may lose up to three quarters of its strength.',
    source: 'Access Fund, how to assess sandstone after rain or snow',
    standing: 'published',
  },
  {
    fromH: 24,
    toH: 72,
    text: 'Guides wait 24 to 72 h.',
    source: 'mountainhardwear.com, rock-n-rain',
    standing: 'published',
  },
  {
    fromH: 36,
    toH: 72,
    text: 'At least 36 h, and up to three days after heavy storms.',
    source: 'laradiometeo.org',
    standing: 'practice',
  },
];

/** What else decides; the clock alone doesn't. */
export const WET_ROCK_SIGNS = {
  text: 'The amount of rain, damp air, shade, wind and water below the surface all lengthen it. Sand at the base that does not run dry through the fingers says wait.',
  source:
    'Access Fund, how to assess sandstone after rain or snow; mountainproject.com/v/116516461 (practice)',
} as const;

/** Said wherever a hold is shown or ends. */
export const WET_ROCK_CAUTION =
  "A wait in hours is advice, never a sign that the rock is safe. The land manager's rule holds.";

/** The readings that ask for longer than the party's own hold. */
export function stricterThan(holdH: number): WetRockAdvice[] {
  return WET_ROCK_ADVICE.filter((advice) => advice.toH > holdH);
}
