import { Refusal } from '../../src/say/refusal.ts';
import { durationMin, quote } from '../../src/time/duration.ts';
import {
  type LengthUnit,
  toKilograms,
  toKilometres,
  toMetres,
  weightText,
} from '../../src/trip/units.ts';

/** A way on foot, as the settings hold it; or the minutes that the party gives it. */
export interface WayTyped {
  min?: number;
  km?: number;
  upM?: number;
  downM?: number;
}

const LONGEST = { min: 2880, km: 100, m: 4000 } as const;
const PART =
  /(\d+(?:[.,]\d+)?)\s*(km|mi|miles?|m|ft|feet)?\s*(up|down)?(?=[\s,;]|$)|\b(up|down)\s*(\d+(?:[.,]\d+)?)\s*(m|ft|feet)?(?=[\s,;]|$)/giu;

/**
 * Reads `4 km, 650 down`, `2.5 mi 2000 ft down` or `2h`. A figure without a unit is in the trip's: kilometres
 * and metres, or miles and feet.
 *
 * @throws Refusal, naming the option, for what can't be read or can't be right
 */
export function wayOf(
  option: string,
  typed: string | undefined,
  unit: LengthUnit,
): WayTyped | undefined {
  if (typed === undefined) return undefined;
  const min = durationMin(typed);
  if (min !== undefined) return { min: within(option, min, LONGEST.min, `${min} min`) };
  const way: WayTyped = {};
  const rest = typed.replace(PART, (whole, ...found) => {
    const [figure, own, side, sideFirst, figureAfter, ownAfter] = found as (string | undefined)[];
    const value = Number((figure ?? figureAfter ?? '').replace(',', '.'));
    const to = (side ?? sideFirst)?.toLowerCase();
    const named = (own ?? ownAfter)?.toLowerCase();
    const isFar = named === undefined ? to === undefined : /^(km|mi)/u.test(named);
    if (isFar !== (to === undefined) || (isFar && way.km !== undefined)) return whole;
    if (to === undefined) {
      const km = toKilometres(value, named === undefined ? unit : named === 'km' ? 'm' : 'ft');
      way.km = within(option, km, LONGEST.km, whole);
    } else {
      const m = toMetres(value, named === undefined ? unit : named === 'm' ? 'm' : 'ft');
      way[to === 'up' ? 'upM' : 'downM'] = within(option, m, LONGEST.m, whole);
    }
    return '';
  });
  if (/^[\s,;]*$/u.test(rest) && way.km !== undefined) return way;
  const like = unit === 'ft' ? '2.5 mi, 2000 down' : '4 km, 650 down';
  throw new Refusal('unreadable-value', [
    `${option}: "${quote(typed)}" isn't a way on foot.`,
    `Like ${option}:"${like}", or the time it takes: ${option}:2h.`,
  ]);
}

function within(option: string, value: number, most: number, typed: string): number {
  if (value >= 0 && value <= most) return value;
  throw new Refusal('out-of-range', `${option}: ${typed.trim()} can't be right.`);
}

/**
 * Reads `yes`, `no`, `35 kg` or `77 lb`; a figure alone is in kilograms, or in pounds in a trip of feet.
 *
 * @throws Refusal for what can't be read or can't be right
 */
export function bagOf(
  typed: string | undefined,
  unit: LengthUnit,
): { haulBag?: boolean; bagKg?: number } {
  if (typed === undefined) return {};
  const word = typed.trim().toLowerCase();
  if (/^(no|none|false)$/u.test(word)) return { haulBag: false };
  if (/^(yes|true)$/u.test(word)) return { haulBag: true };
  const [, figure, own] = /^(\d+(?:[.,]\d+)?)\s*(kg|lbs?|pounds?)?$/u.exec(word) ?? [];
  const named = own === undefined ? unit : own === 'kg' ? 'm' : 'ft';
  const kg =
    figure === undefined ? Number.NaN : toKilograms(Number(figure.replace(',', '.')), named);
  if (kg > 0 && kg <= 300) return { haulBag: true, bagKg: kg };
  throw new Refusal(
    Number.isNaN(kg) ? 'unreadable-value' : 'out-of-range',
    Number.isNaN(kg)
      ? `bag: "${quote(typed)}" isn't yes, no or a weight like ${weightText(35, unit)}.`
      : `bag: ${word} can't be right; up to ${weightText(300, unit)}.`,
  );
}
