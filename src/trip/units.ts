/** The international foot, exact: 0.3048 m (NIST SP 811, and the 1959 agreement it cites). */
export const METRES_PER_FOOT = 0.3048;

export type LengthUnit = 'm' | 'ft';

export function toMetres(value: number, unit: LengthUnit): number {
  return unit === 'ft' ? value * METRES_PER_FOOT : value;
}

/** `38 m` or `125 ft`, whole numbers. */
export function lengthText(lengthM: number, unit: LengthUnit): string {
  return unit === 'ft' ? `${Math.round(lengthM / METRES_PER_FOOT)} ft` : `${Math.round(lengthM)} m`;
}
