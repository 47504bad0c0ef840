import { describe, expect, test } from 'vitest';
import { findZone, zonesLike } from '../../src/time/find-zone.ts';
import { isZone, wallTime } from '../../src/time/zone.ts';
import { ABBREVIATIONS } from '../../src/time/zone-abbreviations.ts';
import { zonesAt } from '../../src/time/zone-at.ts';

const zone = (typed: string) => {
  const found = findZone(typed);
  return found.ok ? found.zone : found.may;
};

describe('a zone as people name it', () => {
  test.each([
    ['Europe/Oslo', 'Europe/Oslo'],
    ['europe/oslo', 'Europe/Oslo'],
    ['Oslo', 'Europe/Oslo'],
    [' oslo ', 'Europe/Oslo'],
    ['OSLO', 'Europe/Oslo'],
    ['Zürich', 'Europe/Zurich'],
    ['Bogotá', 'America/Bogota'],
    ['São Paulo', 'America/Sao_Paulo'],
    ['sao-paulo', 'America/Sao_Paulo'],
    ['new york', 'America/New_York'],
    ['america/los angeles', 'America/Los_Angeles'],
    ['Buenos Aires', 'America/Argentina/Buenos_Aires'],
    ['Kolkata', 'Asia/Kolkata'],
    ['Kathmandu', 'Asia/Kathmandu'],
    ['Singapore', 'Asia/Singapore'],
    ['Arizona', 'America/Phoenix'],
    ['Japan', 'Asia/Tokyo'],
    ['Norway', 'Europe/Oslo'],
    ['Switzerland', 'Europe/Zurich'],
    ['Reyk', 'Atlantic/Reykjavik'],
    ['UTC', 'UTC'],
    ['Etc/GMT+5', 'Etc/GMT+5'],
    ['etc/gmt-5', 'Etc/GMT-5'],
    ['EST5EDT', 'America/New_York'],
  ])('%j is %s', (typed, is) => {
    expect(zone(typed)).toBe(is);
  });

  test.each(['Moon', 'Mars/Base', 'constructor', '__proto__', '', '   ', '🧗', 'x'.repeat(64)])(
    '%j is none',
    (typed) => {
      expect(findZone(typed)).toEqual({ ok: false, why: 'unknown', may: [] });
    },
  );

  test.each(['+02:00', '-7', 'UTC+2', 'GMT-07:00', 'utc +1'])('%j is only an offset', (typed) => {
    expect(findZone(typed)).toMatchObject({ ok: false, why: 'offset' });
  });

  test('what fits several is not decided', () => {
    expect(zone('Mountain')).toEqual(['America/Edmonton', 'America/Denver']);
    expect(zone('Kentucky')).toEqual([
      'America/Kentucky/Louisville',
      'America/Kentucky/Monticello',
    ]);
    expect(zone('Chile')).toContain('America/Santiago');
    expect(zone('Georgia')).toEqual(['Asia/Tbilisi', 'America/New_York']);
    // A beginning this short is asked back even where only one name has it.
    expect(findZone('osl')).toMatchObject({ why: 'several', may: ['Europe/Oslo'] });
  });

  test('no input takes long, and what is found can be used', () => {
    for (const typed of ['a', 'am', 'america', 'e', '/', '((((', '\u0300', 'A'.repeat(64)]) {
      const found = findZone(typed);
      for (const name of found.ok ? [found.zone] : found.may) expect(isZone(name)).toBe(true);
    }
  });

  test('while typing, the likeliest stand first', () => {
    expect(zonesLike('oslo')[0]).toBe('Europe/Oslo');
    expect(zonesLike('mst')[0]).toBe('America/Denver');
    expect(zonesLike('los an')[0]).toBe('America/Los_Angeles');
    expect(zonesLike('')[0]).toMatch(/^Africa/);
  });
});

describe('abbreviations', () => {
  test.each(['MST', 'CST', 'IST', 'BST', 'EST', 'cet', 'GMT'])('%s is asked back', (typed) => {
    expect(findZone(typed)).toMatchObject({ ok: false, why: 'several' });
  });

  /**
   * Offsets in hours that the tz database gives with these abbreviations: its files northamerica,
   * europe, asia and australasia (https://data.iana.org/time-zones/tz-link.html). From memory, not
   * in it now: EST +10, BST +6 and +11.
   */
  test.each([
    ['mst', [-7]],
    ['pst', [-8, 8]],
    ['cst', [-6, -5, 8]],
    ['est', [-5, 10]],
    ['ist', [5.5, 1, 2]],
    ['bst', [1, 6, 11]],
    ['cet', [1]],
    ['eet', [2]],
    ['wet', [0]],
    ['gmt', [0]],
    ['hst', [-10]],
    ['aest', [10]],
    ['acst', [9.5]],
  ])('%s is what a clock of each of its zones shows in winter or summer', (name, hours) => {
    const [january, july] = [Date.UTC(2025, 0, 15), Date.UTC(2025, 6, 15)];
    for (const one of ABBREVIATIONS[name] ?? []) {
      const offsets = [january, july].map((ms) => wallTime(one, ms).offsetMin / 60);
      expect(
        hours.some((h) => offsets.includes(h)),
        one,
      ).toBe(true);
    }
  });

  test('all their zones are in the tz database', () => {
    for (const one of Object.values(ABBREVIATIONS).flat()) expect(isZone(one), one).toBe(true);
  });
});

describe('the zone of coordinates', () => {
  const NOW = Date.UTC(2026, 5, 12);

  /** Principal places of zones, in degrees and minutes: zone1970.tab of the tz database, release 2025c. */
  test.each([
    ['+4723+00832', 'Europe/Zurich'],
    ['+5130-00007', 'Europe/London'],
    ['+394421-1045903', 'America/Denver'],
    ['+340308-1181434', 'America/Los_Angeles'],
    ['+332654-1120424', 'America/Phoenix'],
    ['-3327-07040', 'America/Santiago'],
    ['+2743+08519', 'Asia/Kathmandu'],
    ['-3652+17446', 'Pacific/Auckland'],
    ['+6404-02151', 'Atlantic/Reykjavik'],
    ['-3352+15113', 'Australia/Sydney'],
    ['+353916+1394441', 'Asia/Tokyo'],
    ['-5448-06818', 'America/Argentina/Ushuaia'],
  ])('%s is first of all in %s', (iso6709, is) => {
    const [, lat = '', lon = ''] = /^([+-]\d+)([+-]\d+)$/.exec(iso6709) ?? [];
    const shown = zonesAt(degrees(lat, 2), degrees(lon, 3), NOW)[0] ?? '';
    for (const ms of [Date.UTC(2026, 0, 15), Date.UTC(2026, 6, 15)]) {
      expect(wallTime(shown, ms).offsetMin).toBe(wallTime(is, ms).offsetMin);
    }
  });

  function degrees(text: string, whole: number): number {
    const digits = text.slice(1);
    const parts = [digits.slice(0, whole), digits.slice(whole, whole + 2), digits.slice(whole + 2)];
    const [deg = 0, min = 0, sec = 0] = parts.map(Number);
    return (text.startsWith('-') ? -1 : 1) * (deg + min / 60 + sec / 3600);
  }

  test('well inside a zone it is the only one, also beside another with the same clocks', () => {
    expect(zonesAt(62.1, 6.9, NOW)).toEqual(['Europe/Oslo']);
    // The Dolomites: Rome's and Vienna's clocks agree.
    expect(zonesAt(46.6, 12.3, NOW)).toEqual(['Europe/Rome']);
  });

  test('near a border where clocks differ, all are named', () => {
    // In the Karakoram the map says Urumqi; the border is the other side.
    expect(zonesAt(35.75, 76.2, NOW)).toContain('Asia/Karachi');
    expect(zonesAt(36.99, -112.5, NOW)).toEqual(
      expect.arrayContaining(['America/Denver', 'America/Phoenix']),
    );
  });

  test('at sea there is none, and the edges of the map do no harm', () => {
    expect(zonesAt(40, -40, NOW)).toEqual([]);
    for (const [lat, lon] of [
      [90, 0],
      [-90, 180],
      [0, 180],
      [0, -180],
      [89.99, 179.99],
    ] as const) {
      for (const one of zonesAt(lat, lon, NOW)) expect(isZone(one)).toBe(true);
    }
  });
});
