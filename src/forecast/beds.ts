import type { Settings } from './defaults.ts';
import type { ForecastPitch } from './model.ts';

/** What a party sleeps on. */
export type Bed = 'ledge' | 'portaledge';

/** What a bed depends on besides the stance. */
export interface Sleepers {
  partySize: number;
  /** Places on the portaledges they carry; undefined: enough for all, 0: none carried. */
  portaledgePlaces?: number;
}

/**
 * What the whole party can lie down on at the end of a pitch; undefined when it can't. A ledge without
 * a count is taken to be large enough; a portaledge stance is a bed only for those who carry one.
 */
export function bedAt(
  { bivy }: Pick<ForecastPitch, 'bivy'>,
  { partySize, portaledgePlaces }: Sleepers,
): Bed | undefined {
  if (bivy.kind === 'none') return undefined;
  const places = bivy.kind === 'portaledge' ? portaledgePlaces : bivy.places;
  return (places ?? partySize) >= partySize ? bivy.kind : undefined;
}

/** Whether the whole party can lie down at the end of a pitch. */
export function canSleep(pitch: Pick<ForecastPitch, 'bivy'>, party: Sleepers): boolean {
  return bedAt(pitch, party) !== undefined;
}

/** Work round a night, minutes: after arriving and before resting, and from getting up to the first move. */
export interface NightWork {
  eveningMin: number;
  morningMin: number;
}

/** The work round a night on that bed; without one the night is sat out. */
export function nightWork(bed: Bed | undefined, s: Settings): NightWork {
  switch (bed) {
    case 'portaledge':
      return { eveningMin: s.portaledgeEveningMin, morningMin: s.portaledgeMorningMin };
    case 'ledge':
      return { eveningMin: s.ledgeEveningMin, morningMin: s.ledgeMorningMin };
    default:
      return { eveningMin: s.satOutEveningMin, morningMin: s.satOutMorningMin };
  }
}
