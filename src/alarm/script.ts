import type { Sheet } from './sheet.ts';
import { degrees, full, PLAN_LABEL } from './sheet-text.ts';

/**
 * What a contact reads out when the rescue service answers, in the order in which a dispatcher asks:
 * what, who, where, since when, what is known (SHEET has the rest). Short sentences, to be said aloud.
 *
 * @param caller the contact who reads it
 */
export function callScript(
  sheet: Sheet,
  caller: { name: string; phone?: string | undefined },
): string[] {
  const { party, place, lastKnown, plan, troubles } = sheet;
  const names = party.map((p) => (p.age === undefined ? p.name : `${p.name} (${p.age})`));
  const trouble = troubles.flatMap((t) => t.words);
  const due = plan.calloutMs ?? plan.downMs;
  const position =
    place.lat === undefined || place.lon === undefined
      ? ''
      : ` Position ${degrees(place.lat, 'N', 'S')} ${degrees(place.lon, 'E', 'W')}.`;
  return [
    `My name is ${caller.name}${caller.phone === undefined ? '' : `, my phone is ${caller.phone}`}. I am at home; I am not with them.`,
    trouble.length === 0
      ? 'A climbing party is overdue, and nobody can reach them.'
      : `A climbing party is in trouble: ${trouble.join(' ')}`,
    ...(party.length === 0
      ? []
      : [
          `${party.length} ${party.length === 1 ? 'person is' : 'people are'} up there: ${names.join(', ')}.`,
        ]),
    `The wall: ${sheet.name}${place.name === undefined ? '' : `, ${place.name}`}.${position}`,
    `As last told: ${sheet.mode}`,
    ...(lastKnown === undefined
      ? ['Nothing was heard from them.']
      : [`Last heard ${full(sheet, lastKnown.atMs)}: ${lastKnown.words}, from ${lastKnown.by}.`]),
    ...(due === undefined
      ? []
      : [
          `${plan.calloutMs === undefined ? PLAN_LABEL.downMs : 'They asked for a call'} by ${full(sheet, due)}.`,
        ]),
    'I have a sheet with what they carry, what they planned, and their phone numbers.',
  ];
}
