const DEGREES = String.raw`([+-]?\d{1,3}(?:\.\d{1,10})?)\s*°?\s*`;
const MINUTES = String.raw`(?:(\d{1,2})\s*['′’]\s*(?:(\d{1,2}(?:\.\d{1,5})?)\s*["″”]\s*)?)?`;
const PAIR = new RegExp(
  String.raw`^${DEGREES}${MINUTES}([NS])?\s*[,;\s]\s*${DEGREES}${MINUTES}([EW])?$`,
  'iu',
);

/**
 * Coordinates as a map on a phone gives them: `62.1034, 6.9012`, `62.1° N, 6.9° E`, `62°06'12.0"N 6°54'04.0"E`.
 * Latitude comes first, north and east are positive (ISO 6709).
 *
 * @returns degrees, of whatever size was written; undefined when the text is no pair of numbers
 */
export function coordinatesIn(text: string): { lat: number; lon: number } | undefined {
  const found = PAIR.exec(text.trim());
  if (found === null) return undefined;
  const [, lat, latMin, latSec, ns, lon, lonMin, lonSec, ew] = found;
  return { lat: degrees(lat, latMin, latSec, ns), lon: degrees(lon, lonMin, lonSec, ew) };
}

function degrees(whole = '', min = '0', sec = '0', side = ''): number {
  const size = Math.abs(Number(whole)) + Number(min) / 60 + Number(sec) / 3600;
  return whole.startsWith('-') || /[sw]/iu.test(side) ? -size : size;
}
