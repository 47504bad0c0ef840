import type { Key, Words } from '../say/contact/words.ts';
import { dayClockIn } from '../time/in-language.ts';
import { lengthText, weightText } from '../trip/units.ts';
import type { Sheet } from './sheet.ts';

/** A time of the sheet, without the day when that is today. */
export const short = (w: Words, sheet: Sheet, atMs: number) =>
  dayClockIn(w.language, sheet.zone, atMs, sheet.madeAtMs);

const MARKS = {
  done: 'sheet.highDone',
  fixed: 'sheet.highFixed',
  started: 'sheet.highStarted',
} as const;

/** Where they are and where they meant to go. */
export function whereLines(w: Words, sheet: Sheet): string[] {
  const { place, route, highest, next, details, lastStance } = sheet;
  const { lat, lon, name } = place;
  return [
    ...(name === undefined ? [] : [w.text('sheet.wall', { name })]),
    ...(lat === undefined || lon === undefined
      ? []
      : [
          w.text('sheet.position', {
            lat: degrees(lat, 'N', 'S'),
            lon: degrees(lon, 'E', 'W'),
          }),
        ]),
    ...(route.pitches === 0
      ? []
      : [
          w.text('sheet.route', {
            n: route.pitches,
            length: lengthText(route.lengthM, route.units),
          }),
        ]),
    ...(highest === undefined
      ? []
      : [
          w.text(MARKS[highest.mark], {
            n: highest.pitch,
            when: short(w, sheet, highest.atMs),
            by: highest.by,
          }),
        ]),
    ...(lastStance === undefined
      ? []
      : [
          w.text('sheet.retreating', {
            stance: stanceIn(w, lastStance.pitch),
            when: short(w, sheet, lastStance.atMs),
          }),
        ]),
    ...(next === undefined
      ? []
      : [
          next === 'descent'
            ? w.text('sheet.nextDown')
            : w.text('sheet.nextPitch', { n: next.pitch }),
        ]),
    ...labelled(w, [
      ['sheet.approach', details.approach],
      ['sheet.escape', details.escape],
      ['sheet.vehicle', details.vehicle],
      ['sheet.parked', details.parked],
    ]),
  ];
}

/** `the stance after pitch 5`; 0 is the ground. */
export function stanceIn(w: Words, n: number): string {
  return n === 0 ? w.text('sheet.ground') : w.text('sheet.stance', { n });
}

/** `62.45000° N`: degrees with five decimals, about a metre. */
export function degrees(value: number, plus: string, minus: string): string {
  return `${Math.abs(value).toFixed(5)}° ${value < 0 ? minus : plus}`;
}

/** What they have with them. */
export function carryLines(w: Words, sheet: Sheet): string[] {
  const { details, ropes } = sheet;
  const { units } = sheet.route;
  const m = (metres: number) => ({ m: lengthText(metres, units) });
  const { haulLineM = 0, tagLineM = 0, bagKg } = ropes;
  const all = [
    w.text('sheet.leadLine', m(ropes.leadLineM)),
    ...(haulLineM === 0 ? [] : [w.text('sheet.haulLine', m(haulLineM))]),
    ...(tagLineM === 0 ? [] : [w.text('sheet.tagLine', m(tagLineM))]),
    ...(ropes.haulBag
      ? [
          bagKg === undefined
            ? w.text('sheet.bag')
            : w.text('sheet.bagOf', { kg: weightText(bagKg, units) }),
        ]
      : []),
  ];
  return [
    `${all.join(', ')}.`,
    ...labelled(w, [
      ['sheet.gear', details.gear],
      ['sheet.food', details.food],
    ]),
    ...waterLines(w, sheet),
    ...labelled(w, [
      ['sheet.packed', sheet.packed.length === 0 ? undefined : sheet.packed.join(', ')],
      ['sheet.signalling', details.signalling],
      ['sheet.notes', details.notes],
    ]),
  ];
}

/** `about 6 l, until Fri 15:00`; none is said as none. */
function waterLines(w: Words, sheet: Sheet): string[] {
  if (sheet.water === undefined) return [];
  const litres = Math.round(sheet.water.leftL);
  const when = short(w, sheet, sheet.water.untilMs);
  return [litres === 0 ? w.text('sheet.waterNone') : w.text('sheet.water', { litres, when })];
}

type Labelled = Extract<
  Key,
  `sheet.${'approach' | 'escape' | 'vehicle' | 'parked' | 'gear' | 'food' | 'packed' | 'signalling' | 'notes'}`
>;

function labelled(
  w: Words,
  pairs: readonly (readonly [label: Labelled, text: string | undefined])[],
): string[] {
  return pairs.flatMap(([label, text]) => (text === undefined ? [] : [w.text(label, { text })]));
}
