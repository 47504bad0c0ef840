import { tzlib_get_timezones } from 'timezones-ical-library';
import { isZone } from './zone.ts';
import { ABBREVIATIONS } from './zone-abbreviations.ts';

/**
 * What somebody meant by a zone. `may` are the zones it may mean, the likeliest first; empty when
 * there are none.
 */
export type FoundZone =
  | { ok: true; zone: string }
  | { ok: false; why: 'several' | 'offset' | 'unknown'; may: readonly string[] };

/** Letters that no accent can be taken off. */
const LETTERS = 'ø:o æ:ae œ:oe ß:ss ł:l đ:d ð:d þ:th ı:i'.split(' ').map((l) => l.split(':'));

interface Name {
  name: string;
  /** `America/New_York` → `america`, `new york`. */
  parts: readonly string[];
}

/** Every name of the tz database, old ones too; Intl lists only one name of each zone. */
const NAMES: readonly Name[] = [tzlib_get_timezones()]
  .flat()
  .filter((name) => name.length > 2)
  .map((name) => ({ name, parts: name.split('/').map(plain) }));

/** Areas of the tz database. Other names (`US/Arizona`, `Japan`) are kept there for old programs. */
const AREAS =
  /^(Africa|America|Antarctica|Arctic|Asia|Atlantic|Australia|Europe|Indian|Pacific|Etc)\//u;

/** Shorter beginnings of names are asked back even if only one name begins so. */
const SURE_LETTERS = 4;
const ASKED_LETTERS = 2;
/** No more names than this are offered at once. */
const OFFERED = 30;

/**
 * The zone of the tz database that was meant: its name, a city's, a country's with one zone, a usual
 * abbreviation. Case, accents, spaces and underscores don't matter. An abbreviation or a name that
 * fits several zones is never decided here.
 */
export function findZone(typed: string): FoundZone {
  const want = plain(typed);
  const known = Object.hasOwn(ABBREVIATIONS, want) ? ABBREVIATIONS[want] : undefined;
  if (known !== undefined) return decided(known.filter(isZone));
  // To the letter first: Etc/GMT+5 and Etc/GMT-5 differ in a sign alone.
  const exact = current(namesThat((_, name) => same(name, typed)));
  if (exact.length === 1) return decided(exact);
  if (/^((utc|gmt) ?)?[+−-] ?\d{1,2}(:?\d{2})?$/iu.test(typed.trim())) {
    return { ok: false, why: 'offset', may: [] };
  }
  if (want === '') return { ok: false, why: 'unknown', may: [] };
  for (const fits of [isWhole, isEnd, isPart]) {
    const found = current(namesThat((parts) => fits(parts, want)));
    if (found.length > 0) return decided(found);
  }
  const country = current(zonesOfCountry(want));
  if (country.length > 0) return decided(country);
  const begun = want.length < ASKED_LETTERS ? [] : current(namesThat((p) => begins(p, want)));
  if (begun.length === 1 && want.length < SURE_LETTERS) {
    return { ok: false, why: 'several', may: begun };
  }
  return decided(begun);
}

/** Zones to offer while somebody types, the likeliest first. */
export function zonesLike(typed: string): string[] {
  const want = plain(typed);
  const found = findZone(typed);
  const first = found.ok ? [found.zone] : found.may;
  const rest = namesThat((parts) => parts.join(' ').includes(want)).filter((n) => AREAS.test(n));
  return [...new Set([...first, ...current(rest)])].slice(0, OFFERED);
}

function decided(may: readonly string[]): FoundZone {
  const [zone, second] = may;
  if (zone !== undefined && second === undefined) return { ok: true, zone };
  return { ok: false, why: zone === undefined ? 'unknown' : 'several', may };
}

const same = (name: string, typed: string) => name.toLowerCase() === typed.trim().toLowerCase();

function namesThat(suits: (parts: readonly string[], name: string) => boolean): string[] {
  return NAMES.filter(({ parts, name }) => suits(parts, name))
    .map(({ name }) => name)
    .slice(0, OFFERED * 2);
}

const isWhole = (parts: readonly string[], want: string) => parts.join(' ') === want;
const isEnd = (parts: readonly string[], want: string) =>
  parts.some((_, i) => parts.slice(i).join(' ') === want);
const isPart = (parts: readonly string[], want: string) => parts.includes(want);
const begins = (parts: readonly string[], want: string) =>
  parts.some((part) => part.startsWith(want)) || parts.join(' ').startsWith(want);

/** Lower case without accents; whatever is no letter or digit is one space. */
function plain(text: string): string {
  const letters = LETTERS.reduce(
    (all, [from = '', to = '']) => all.replaceAll(from, to),
    text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase(),
  );
  return letters
    .replace(/[^a-z0-9]/gu, ' ')
    .replace(/ +/gu, ' ')
    .trim();
}

/** One name for each zone that this machine knows; of several names of it the longest, which is the newest. */
function current(names: readonly string[]): string[] {
  const best = new Map<string, string>();
  for (const name of names) {
    const one = engineName(name);
    if (one === undefined) continue;
    const shown = AREAS.test(name) ? name : one;
    const other = best.get(one);
    if (other === undefined || shown.length > other.length) best.set(one, shown);
  }
  return [...best.values()];
}

const engineNames = new Map<string, string | undefined>();

/** The one name this machine has for a zone of several names: asking takes a tenth of a millisecond. */
function engineName(name: string): string | undefined {
  if (!engineNames.has(name)) {
    const known = isZone(name)
      ? new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone
      : undefined;
    engineNames.set(name, known);
  }
  return engineNames.get(name);
}

const A_TO_Z = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];

/** Zones of a country by its English name, as CLDR has both; none when there is no such country. */
function zonesOfCountry(want: string): string[] {
  const names = new Intl.DisplayNames(['en'], { type: 'region', fallback: 'none' });
  const code = A_TO_Z.flatMap((a) => A_TO_Z.map((b) => a + b)).find(
    (pair) => plain(names.of(pair) ?? '') === want,
  );
  if (code === undefined) return [];
  // Newer engines have the method, older ones the property.
  const locale = new Intl.Locale(`und-${code}`) as Intl.Locale & {
    getTimeZones?(): string[] | undefined;
    timeZones?: string[];
  };
  return locale.getTimeZones?.() ?? locale.timeZones ?? [];
}
