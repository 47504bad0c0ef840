/**
 * CAP 1.2 messages, read by saxes (a namespace-aware XML parser) and held to the rules of OASIS "Common
 * Alerting Protocol Version 1.2" (1 July 2010): section 3.2 for elements and code values, 3.3.2 for
 * date-times, Appendix A for the schema's order of elements.
 */
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { capTime, capXml } from '../../src/alarm/cap.ts';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { DAWN_MS, departed, HOUR } from './trip.ts';

interface Element {
  name: string;
  uri: string;
  text: string;
  children: Element[];
}

function parse(xml: string): Element {
  const parser = new SaxesParser({ xmlns: true });
  const stack: Element[] = [{ name: '', uri: '', text: '', children: [] }];
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', (tag) => {
    const element: Element = { name: tag.local, uri: tag.uri, text: '', children: [] };
    stack.at(-1)?.children.push(element);
    stack.push(element);
  });
  parser.on('text', (text) => {
    const top = stack.at(-1);
    if (top !== undefined) top.text += text;
  });
  parser.on('closetag', () => void stack.pop());
  parser.write(xml).close();
  return stack[0]?.children[0] as Element;
}

const values = (element: Element, name: string) =>
  element.children.filter((c) => c.name === name).map((c) => c.text);
const one = (element: Element, name: string) => values(element, name)[0];

/** Schema order, Appendix A. */
const ALERT = [
  'identifier',
  'sender',
  'sent',
  'status',
  'msgType',
  'source',
  'scope',
  'restriction',
];
const ALERT_REST = ['addresses', 'code', 'note', 'references', 'incidents', 'info'];
const INFO = [
  ...['language', 'category', 'event', 'responseType', 'urgency', 'severity', 'certainty'],
  ...['audience', 'eventCode', 'effective', 'onset', 'expires', 'senderName', 'headline'],
  ...['description', 'instruction', 'web', 'contact', 'parameter', 'resource', 'area'],
];
const CODES: Record<string, readonly string[]> = {
  status: ['Actual', 'Exercise', 'System', 'Test', 'Draft'],
  msgType: ['Alert', 'Update', 'Cancel', 'Ack', 'Error'],
  scope: ['Public', 'Restricted', 'Private'],
  category: [
    'Geo',
    'Met',
    'Safety',
    'Security',
    'Rescue',
    'Fire',
    'Health',
    'Env',
    'Transport',
    'Infra',
    'CBRNE',
    'Other',
  ],
  urgency: ['Immediate', 'Expected', 'Future', 'Past', 'Unknown'],
  severity: ['Extreme', 'Severe', 'Moderate', 'Minor', 'Unknown'],
  certainty: ['Observed', 'Likely', 'Possible', 'Unlikely', 'Unknown'],
};
/** The schema's pattern for every date-time (Appendix A). */
const DATE_TIME = /^\d\d\d\d-\d\d-\d\dT\d\d:\d\d:\d\d[-,+]\d\d:\d\d$/;

function inOrder(element: Element, order: readonly string[]): void {
  const places = element.children.map((c) => order.indexOf(c.name));
  expect(places).not.toContain(-1);
  expect(places).toEqual([...places].sort((a, b) => a - b));
}

function checked(xml: string): Element {
  const alert = parse(xml);
  expect([alert.name, alert.uri]).toEqual(['alert', 'urn:oasis:names:tc:emergency:cap:1.2']);
  inOrder(alert, [...ALERT, ...ALERT_REST]);
  for (const name of ['identifier', 'sender', 'sent', 'status', 'msgType', 'scope']) {
    expect(values(alert, name), name).toHaveLength(1);
  }
  for (const name of ['identifier', 'sender']) expect(one(alert, name)).not.toMatch(/[\s,<&]/);
  expect(one(alert, 'sent')).toMatch(DATE_TIME);
  const info = alert.children.find((c) => c.name === 'info') as Element;
  inOrder(info, INFO);
  for (const name of ['category', 'event', 'urgency', 'severity', 'certainty']) {
    expect(values(info, name).length, name).toBeGreaterThanOrEqual(1);
  }
  for (const [name, codes] of Object.entries(CODES)) {
    for (const value of [...values(alert, name), ...values(info, name)])
      expect(codes).toContain(value);
  }
  // 3.2.4: an area has its areaDesc.
  const area = info.children.find((c) => c.name === 'area') as Element;
  expect(one(area, 'areaDesc')).toBeTruthy();
  return alert;
}

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
    const xml = capXml(sheetOf(raised(phase), DAWN_MS + 21 * HOUR), {
      sender: 'watch@example.org',
      status: 'Actual',
    });
    const alert = checked(xml);
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'urgency')).toBe(urgency);
    // 3.2.1: a message of scope Private names whom it is for.
    expect(one(alert, 'scope')).toBe('Private');
    expect(one(alert, 'addresses')).toBe('"Dana" "Pål"');
  });

  it('marks a rehearsal as Exercise and says so in the headline', () => {
    const alert = checked(
      capXml(sheetOf(raised('alert'), DAWN_MS), { sender: 'a', status: 'Exercise' }),
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
      capXml(sheetOf(story.state, DAWN_MS), { sender: 'a b,<c', status: 'Test' }),
    );
    const info = alert.children.find((c) => c.name === 'info') as Element;
    expect(one(info, 'description')).toContain('</description><b>& "red"   van\u{1F690}');
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
