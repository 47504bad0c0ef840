import { CODES, type Language } from '../say/contact/languages.ts';
import { type Words, wordsIn } from '../say/contact/words.ts';
import { offset } from '../time/format.ts';
import { wallTime } from '../time/zone.ts';
import type { AlarmPhase } from '../trip/watch-state.ts';
import type { Sheet } from './sheet.ts';
import { sheetSections } from './sheet-text.ts';

/** OASIS, Common Alerting Protocol Version 1.2, 1 July 2010. */
const NAMESPACE = 'urn:oasis:names:tc:emergency:cap:1.2';

/** What a CAP message needs beside the sheet. */
export interface CapOptions {
  /** Unique for the installation; no spaces, commas, `<` or `&` (section 3.2.1). */
  sender: string;
  /** Unique among the sender's messages; no spaces, commas, `<` or `&` (section 3.2.1). */
  identifier: string;
  /** When it was issued, epoch milliseconds. */
  sentMs: number;
  /** Exercise for a drill, Test for trying it out, else Actual. */
  status: 'Actual' | 'Exercise' | 'Test';
  msgType: 'Alert' | 'Update' | 'Cancel';
  /** Earlier messages this one updates or cancels: `sender,identifier,sent`, section 3.2.1. */
  references: readonly string[];
}

/** The sheet in each language that the message is to have. */
export type CapSheets = Partial<Record<Language, Sheet>> & { en: Sheet };

/** How the phases read in CAP's own words. Engineering choice: CAP has no notion of an overdue party. */
const BY_PHASE: Record<AlarmPhase | 'none', readonly [string, string, string]> = {
  none: ['Unknown', 'Unknown', 'Unknown'],
  due: ['Future', 'Unknown', 'Possible'],
  uncertainty: ['Future', 'Moderate', 'Possible'],
  alert: ['Expected', 'Severe', 'Possible'],
  distress: ['Immediate', 'Severe', 'Likely'],
};
/** Of a Cancel: nothing need be done any more (section 3.2.2, "urgency"). */
const OVER = ['Past', 'Unknown', 'Unknown'] as const;

/**
 * The sheet as a CAP 1.2 message of scope Private, for a rescue service that takes those: a block `info` for each
 * language that it is in (section 3.2.2, "language"), English first. Every date-time carries a numeric offset; CAP
 * forbids `Z` (section 3.3.2).
 */
export function capXml(sheets: CapSheets, options: CapOptions): string {
  const { en: sheet } = sheets;
  const addresses = sheet.contacts.map((c) => `"${c.name.replaceAll('"', "'")}"`).join(' ');
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<alert xmlns="${NAMESPACE}">`,
    tag('identifier', capName(options.identifier)),
    tag('sender', capName(options.sender)),
    tag('sent', capTime(sheet.zone, options.sentMs)),
    tag('status', options.status),
    tag('msgType', options.msgType),
    tag('scope', 'Private'),
    tag('addresses', addresses === '' ? '"rescue service"' : addresses),
    ...(options.references.length > 0 ? [tag('references', options.references.join(' '))] : []),
    ...CODES.flatMap((code) => {
      const one = sheets[code];
      return one === undefined ? [] : info(wordsIn(code), one, options);
    }),
    '</alert>',
    '',
  ].join('\n');
}

/** The same in each language; only the words differ. */
function info(w: Words, sheet: Sheet, options: CapOptions): string[] {
  const over = options.msgType === 'Cancel';
  const [urgency, severity, certainty] = over ? OVER : BY_PHASE[sheet.phase ?? 'none'];
  const { lat, lon } = sheet.place;
  return [
    '<info>',
    tag('language', w.language),
    tag('category', 'Rescue'),
    tag('event', w.text('sheet.cap.event')),
    tag('urgency', urgency),
    tag('severity', severity),
    tag('certainty', certainty),
    tag('senderName', w.text('sheet.cap.sender')),
    tag('headline', headline(w, sheet, options)),
    tag('description', description(w, sheet)),
    tag('instruction', w.text('sheet.cap.instruction')),
    tag('contact', contact(w, sheet)),
    ...parameters(sheet),
    '<area>',
    tag('areaDesc', sheet.place.name ?? sheet.name),
    // A circle of radius 0 is a point (section 3.2.4, "circle").
    ...(lat === undefined || lon === undefined ? [] : [tag('circle', `${lat},${lon} 0`)]),
    '</area>',
    '</info>',
  ];
}

/** `2031-06-12T14:32:05+02:00`; UTC is written `-00:00`. */
export function capTime(zone: string, ms: number): string {
  const wall = wallTime(zone, ms);
  const two = (n: number) => String(n).padStart(2, '0');
  const date = `${String(wall.year).padStart(4, '0')}-${two(wall.month)}-${two(wall.day)}`;
  const time = `${two(wall.hour)}:${two(wall.minute)}:${two(wall.second)}`;
  const from = offset(wall);
  return `${date}T${time}${from === '+00:00' ? '-00:00' : from}`;
}

function headline(w: Words, sheet: Sheet, { status, msgType }: CapOptions): string {
  const first = status === 'Actual' ? '' : `${status.toUpperCase()}: `;
  const { name } = sheet;
  const what =
    msgType === 'Cancel'
      ? w.text('sheet.cap.over', { name })
      : w.text('sheet.cap.overdue', { n: sheet.party.length, name });
  const text = `${first}${what}`;
  // At most 160 characters are advised (section 3.2.2, "headline").
  return text.length <= 160 ? text : `${text.slice(0, 159)}…`;
}

function description(w: Words, sheet: Sheet): string {
  return sheetSections(sheet, w)
    .map(({ title, lines }) => `${title}\n${lines.join('\n')}`)
    .join('\n\n');
}

function contact(w: Words, sheet: Sheet): string {
  const all = [...sheet.contacts, ...sheet.ground].flatMap((p) =>
    p.phone === undefined ? [] : [`${p.name} ${p.phone}`],
  );
  return all.length === 0 ? w.text('sheet.cap.noPhone') : all.join('; ');
}

function parameters(sheet: Sheet): string[] {
  const time = (ms: number | undefined) => ms && capTime(sheet.zone, ms);
  const values: [string, string | number | undefined][] = [
    // ICAO Annex 12's word for the step.
    ['emergencyPhase', sheet.phase],
    ['lastHeard', time(sheet.lastKnown?.atMs)],
    ['everyoneDownBy', time(sheet.plan.downMs)],
    ['callOutTime', time(sheet.plan.calloutMs)],
  ];
  return values.flatMap(([name, value]) =>
    value === undefined
      ? []
      : ['<parameter>', tag('valueName', name), tag('value', String(value)), '</parameter>'],
  );
}

function tag(name: string, text: string): string {
  return `<${name}>${escapeXml(text)}</${name}>`;
}

/** A sender or identifier without what they may not hold, which separates them in `references` (section 3.2.1). */
export function capName(id: string): string {
  return id.replace(/[\s,<&]/gu, '_');
}

/** Characters XML 1.0 has no place for are dropped (section 2.2, Char); the rest is escaped. */
function escapeXml(text: string): string {
  return text
    .replace(/\p{Surrogate}/gu, '')
    .replace(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;');
}
