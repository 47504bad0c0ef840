/** Units of length that a trip may speak in, each with its metres; exact by definition. */
const METRES_PER = {
  m: 1,
  /** The international foot (NIST SP 811, and the 1959 agreement it cites). */
  ft: 0.3048,
} as const satisfies Record<string, number>;

/** A unit of length. A new one is a line in the table above; code that doesn't convert it doesn't compile. */
export type LengthUnit = keyof typeof METRES_PER;

/** All units of length, the first one the default. */
export const LENGTH_UNITS = Object.keys(METRES_PER) as [LengthUnit, ...LengthUnit[]];

/** What each unit is called where it is chosen. */
export const UNIT_NAMES: Readonly<Record<LengthUnit, string>> = { m: 'metres', ft: 'feet' };

/** A length given in `unit`, in metres. */
export function toMetres(value: number, unit: LengthUnit): number {
  return value * METRES_PER[unit];
}

/** A length in metres as a number of `unit`. */
export function fromMetres(lengthM: number, unit: LengthUnit): number {
  return lengthM / METRES_PER[unit];
}

/** Kilometres of the international mile, kilograms of the avoirdupois pound; exact (NIST SP 811, appendix B). */
const KM_PER_MILE = 1.609344;
const KG_PER_POUND = 0.45359237;

/** Kilometres of a distance told in a trip's unit: kilometres, or miles in a trip of feet. */
export function toKilometres(value: number, unit: LengthUnit): number {
  return unit === 'ft' ? value * KM_PER_MILE : value;
}

/** Kilograms of a weight told in a trip's unit: kilograms, or pounds in a trip of feet. */
export function toKilograms(value: number, unit: LengthUnit): number {
  return unit === 'ft' ? value * KG_PER_POUND : value;
}

/** `4 km`; `2.5 mi` in a trip of feet. */
export function distanceText(km: number, unit: LengthUnit): string {
  return unit === 'ft'
    ? `${Math.round((km / KM_PER_MILE) * 10) / 10} mi`
    : `${Math.round(km * 100) / 100} km`;
}

/** `35 kg`; `77 lb` in a trip of feet. */
export function weightText(kg: number, unit: LengthUnit): string {
  return unit === 'ft' ? `${Math.round(kg / KG_PER_POUND)} lb` : `${Math.round(kg * 10) / 10} kg`;
}

/** `38 m` or `125 ft`, whole numbers. */
export function lengthText(lengthM: number, unit: LengthUnit): string {
  return `${Math.round(fromMetres(lengthM, unit))} ${unit}`;
}
