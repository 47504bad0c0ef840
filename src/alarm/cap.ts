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
 * The sheet as a CAP 1.2 message of scope Private, for a rescue service that takes those. Every
 * date-time carries a numeric offset; CAP forbids `Z` (section 3.3.2).
 */
export function capXml(sheet: Sheet, options: CapOptions): string {
  const over = options.msgType === 'Cancel';
  const [urgency, severity, certainty] = over ? OVER : BY_PHASE[sheet.phase ?? 'none'];
  const addresses = sheet.contacts.map((c) => `"${c.name.replaceAll('"', "'")}"`).join(' ');
  const { lat, lon } = sheet.place;
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
    '<info>',
    tag('language', 'en'),
    tag('category', 'Rescue'),
    tag('event', 'Overdue climbing party'),
    tag('urgency', urgency),
    tag('severity', severity),
    tag('certainty', certainty),
    tag('senderName', 'tagline, for the contact of the party; not a rescue service'),
    tag('headline', headline(sheet, options)),
    tag('description', description(sheet)),
    tag('instruction', 'Check with the contact before acting on this alone.'),
    tag('contact', contact(sheet)),
    ...parameters(sheet),
    '<area>',
    tag('areaDesc', sheet.place.name ?? sheet.name),
    // A circle of radius 0 is a point (section 3.2.4, "circle").
    ...(lat === undefined || lon === undefined ? [] : [tag('circle', `${lat},${lon} 0`)]),
    '</area>',
    '</info>',
    '</alert>',
    '',
  ].join('\n');
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

function headline(sheet: Sheet, { status, msgType }: CapOptions): string {
  const first = status === 'Actual' ? '' : `${status.toUpperCase()}: `;
  const what =
    msgType === 'Cancel' ? 'No longer overdue' : `Party of ${sheet.party.length} overdue`;
  const text = `${first}${what}: ${sheet.name}`;
  // At most 160 characters are advised (section 3.2.2, "headline").
  return text.length <= 160 ? text : `${text.slice(0, 159)}…`;
}

function description(sheet: Sheet): string {
  return sheetSections(sheet)
    .map(({ title, lines }) => `${title}\n${lines.join('\n')}`)
    .join('\n\n');
}

function contact(sheet: Sheet): string {
  const all = [...sheet.contacts, ...sheet.ground].flatMap((p) =>
    p.phone === undefined ? [] : [`${p.name} ${p.phone}`],
  );
  return all.length === 0 ? 'No phone was given.' : all.join('; ');
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
