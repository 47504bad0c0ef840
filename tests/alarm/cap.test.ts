/** The sheet as a CAP 1.2 message; the rules and the reader are in tests/helpers/cap.ts. */
import { describe, expect, it } from 'vitest';
import { capTime, capXml } from '../../src/alarm/cap.ts';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { checked, type Element, one, valid, values } from '../helpers/cap.ts';
import { DAWN_MS, departed, HOUR } from './trip.ts';

const message = {
  sender: 'watch@example.org',
  identifier: 't1.7.1',
  sentMs: DAWN_MS,
  status: 'Actual',
  msgType: 'Alert',
  references: [],
} as const;

const raised = (phase: string) =>
  departed().tell({
    kind: 'watch.raised',
    data: {
      phase,
      root: phase === 'distress' ? 'callout' : 'down',
      dueMs: phase === 'distress' ? DAWN_MS + 20 * HOUR : DAWN_MS + 16 * HOUR,
      to: ['@field'],
    },
    told: DAWN_MS + 18 * HOUR,
  }).state;

describe('the sheet as CAP', () => {
  it.each([
    ['due', 'Future'],
    ['uncertainty', 'Future'],
    ['alert', 'Expected'],
    ['distress', 'Immediate'],
  ])('follows the schema in phase %s, with urgency %s', (phase, urgency) => {
    const xml = capXml({ en: sheetOf(raised(phase), DAWN_MS + 21 * HOUR) }, message);
    const alert = checked(xml);
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'urgency')).toBe(urgency);
    // ICAO Annex 12's word is for the rescue service; the text that a contact reads has none of them.
    expect(values(info.children.find((c) => c.name === 'parameter') as Element, 'value')).toEqual([
      phase,
    ]);
    expect(one(info, 'description')).not.toMatch(/uncertainty|\balert\b|distress/);
    // 3.2.1: a message of scope Private names whom it is for.
    expect(one(alert, 'scope')).toBe('Private');
    expect(one(alert, 'addresses')).toBe('"Dana" "Pål"');
  });

  it('is held to a schema that refuses what the standard does', () => {
    const xml = capXml({ en: sheetOf(raised('alert'), DAWN_MS) }, message);
    for (const [from, to, why] of [
      [/<status>Actual/, '<status>Real', 'enumeration'],
      [/<sent>[^<]*/, '<sent>2031-06-12T04:00:00Z', 'pattern'],
      [/<sent>[^<]*/, '<sent>2031-13-12T04:00:00-00:00', 'not a valid value'],
      [/<scope>.*<\/scope>/, '', 'not expected'],
      [/(<event>.*<\/event>)\n(<urgency>.*<\/urgency>)/, '$2\n$1', 'not expected'],
      [/<areaDesc>.*<\/areaDesc>/, '', 'not expected'],
      [/cap:1\.2/, 'cap:1.1', 'No matching global declaration'],
    ] as const) {
      expect(xml).toMatch(from);
      expect(() => valid(xml.replace(from, to)), String(from)).toThrow(why);
    }
  });

  it('marks a rehearsal as Exercise and says so in the headline', () => {
    const alert = checked(
      capXml({ en: sheetOf(raised('alert'), DAWN_MS) }, { ...message, status: 'Exercise' }),
    );
    expect(one(alert, 'status')).toBe('Exercise');
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'headline')).toMatch(/^EXERCISE/);
  });

  it('carries names with markup and odd characters unharmed, and nothing XML has no place for', () => {
    const story = departed().tell({
      kind: 'watch.details',
      data: { vehicle: '</description><b>& "red" \u0007 van\u{1F690}' },
    });
    const alert = checked(
      capXml(
        { en: sheetOf(story.state, DAWN_MS) },
        { ...message, sender: 'a b,<c', status: 'Test' },
      ),
    );
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'description')).toContain('</description><b>& "red"   van\u{1F690}');
  });

  it('says in the headline of a cancel that nobody is overdue any more', () => {
    const references = ['a,t1.5.1,2031-06-12T04:00:00-00:00'];
    const alert = checked(
      capXml(
        { en: sheetOf(departed().state, DAWN_MS) },
        {
          ...message,
          msgType: 'Cancel',
          references,
        },
      ),
    );
    expect([one(alert, 'msgType'), one(alert, 'references')]).toEqual(['Cancel', references[0]]);
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'headline')).toBe('No longer overdue: Harrow Tower');
    // 3.2.2: Past is "responsive action no longer required".
    expect(one(info, 'urgency')).toBe('Past');
  });

  it.each([
    ['Europe/Oslo', '2031-06-12T06:00:00+02:00'],
    ['America/St_Johns', '2031-06-12T01:30:00-02:30'],
    // 3.3.2: UTC is written -00:00, never Z.
    ['UTC', '2031-06-12T04:00:00-00:00'],
  ])('writes a time in %s as %s', (zone, text) => {
    expect(capTime(zone, DAWN_MS)).toBe(text);
  });
});
