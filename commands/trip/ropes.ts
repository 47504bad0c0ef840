import { Refusal } from '../../src/say/refusal.ts';
import { quote } from '../../src/time/duration.ts';
import { type LengthUnit, lengthText, toMetres } from '../../src/trip/units.ts';

/** The words of `ropes:`, the setting of each, and what it may measure, metres. */
const ROPES = {
  lead: ['leadLineM', 20, 120],
  haul: ['haulLineM', 20, 200],
  tag: ['tagLineM', 20, 200],
  keep: ['leadMarginM', 0, 30],
} as const;

type Rope = keyof typeof ROPES;
type Lengths = { [K in (typeof ROPES)[Rope][0]]?: number };

const WORD =
  /\b(lead|haul|tag|keep|margin)(?:[ _-]?line)?\s*[:=]?\s*(none|no|\d+(?:[.,]\d+)?)\s*(m|ft|feet|')?(?=[\s,;]|$)/giu;

/**
 * Reads `lead 70 haul 60 tag none keep 5`. A figure is in the trip's unit unless it names its own; `none`
 * is a rope that isn't carried.
 *
 * @returns metres by setting, 0 for none
 * @throws Refusal that names what can't be read or can't be right
 */
export function ropesOf(typed: string | undefined, unit: LengthUnit): Lengths {
  if (typed === undefined) return {};
  const out: Lengths = {};
  const rest = typed.replace(WORD, (_, word: string, figure: string, own: string | undefined) => {
    const name = (word.toLowerCase() === 'margin' ? 'keep' : word.toLowerCase()) as Rope;
    out[ROPES[name][0]] = metres(name, figure, own === undefined ? unit : unitOf(own));
    return '';
  });
  if (/^[\s,;]*$/u.test(rest) && Object.keys(out).length > 0) return out;
  throw new Refusal('unreadable-value', [
    `ropes: "${quote(rest.trim() || typed)}" isn't a rope with its length.`,
    'Like ropes:"lead 70 haul 60 tag none keep 5"; keep is what a link keeps back.',
  ]);
}

function unitOf(own: string): LengthUnit {
  return own.toLowerCase() === 'm' ? 'm' : 'ft';
}

function metres(name: Rope, figure: string, unit: LengthUnit): number {
  const [, leastM, mostM] = ROPES[name];
  const isNone = /^no/iu.test(figure);
  if (isNone && name !== 'lead') return 0;
  const value = Number(figure.replace(',', '.'));
  const lengthM = toMetres(value, unit);
  if (!isNone && lengthM >= leastM && lengthM <= mostM) return lengthM;
  const [least, most] = [leastM, mostM].map((m) => lengthText(m, unit));
  const what = isNone ? 'no lead line' : `${name} ${figure} ${unit}`;
  throw new Refusal('out-of-range', `ropes: ${what} can't be right; ${least} to ${most}.`);
}
