/**
 * Reads a CAP 1.2 message with saxes (a namespace-aware XML parser) and holds it to the rules of OASIS
 * "Common Alerting Protocol Version 1.2", OASIS Standard of 1 July 2010 (docs.oasis-open.org/emergency/cap/v1.2/
 * CAP-v1.2-os.html): section 3.2.1 for the alert, 3.2.2 for the info, 3.2.4 for the area, 3.3.2 for date-times,
 * and the schema of section 3.4 for the order of elements. The rules on order, sender and identifier, date-times,
 * addresses and references were compared with that text as public readers and writers of CAP quote it; order, names,
 * codes and types with the schema of CAP 1.1 and with classes that others generated from CAP-v1.2.xsd.
 */
import { SaxesParser } from 'saxes';
import { expect } from 'vitest';

/** An element as it was read. */
export interface Element {
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

/** The texts of the children of that name. */
export const values = (element: Element, name: string) =>
  element.children.filter((c) => c.name === name).map((c) => c.text);
/** The text of the first child of that name. */
export const one = (element: Element, name: string) => values(element, name)[0];

/** Order of the schema, section 3.4: the elements are an xs:sequence. */
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
/** Of the area. */
const AREA = ['areaDesc', 'polygon', 'circle', 'geocode', 'altitude', 'ceiling'];
/** The schema's pattern for every date-time (section 3.4). */
const DATE_TIME = /^\d\d\d\d-\d\d-\d\dT\d\d:\d\d:\d\d[-,+]\d\d:\d\d$/;

function inOrder(element: Element, order: readonly string[]): void {
  const places = element.children.map((c) => order.indexOf(c.name));
  expect(places).not.toContain(-1);
  expect(places).toEqual([...places].sort((a, b) => a - b));
}

/** 3.2.1, "addresses", "msgType" and "references". */
function toWhomAndAboutWhat(alert: Element): void {
  // Required when the scope is Private; addresses with a space in them stand in double quotes.
  if (one(alert, 'scope') === 'Private')
    expect(one(alert, 'addresses')).toMatch(/^(?:"[^"]+"|[^\s"]+)(?: (?:"[^"]+"|[^\s"]+))*$/);
  // An Update or a Cancel is about the earlier messages that it names: sender,identifier,sent.
  const about = one(alert, 'references')?.split(/\s+/u) ?? [];
  if (/^(?:Update|Cancel)$/u.test(one(alert, 'msgType') ?? '')) expect(about).not.toEqual([]);
  for (const reference of about) {
    const [sender = '', identifier = '', sent = '', ...more] = reference.split(',');
    expect([sender !== '', identifier !== '', more]).toEqual([true, true, []]);
    expect(sent).toMatch(DATE_TIME);
    // A message is not about itself.
    expect(reference).not.toBe(['sender', 'identifier', 'sent'].map((n) => one(alert, n)).join());
  }
}

/** The message, read and held to the schema. */
export function checked(xml: string): Element {
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
  inOrder(area, AREA);
  expect(one(area, 'areaDesc')).toBeTruthy();
  // 3.2.4, "circle": a point in WGS 84, a space, a radius in kilometres.
  for (const circle of values(area, 'circle'))
    expect(circle).toMatch(/^-?\d+(?:\.\d+)?,-?\d+(?:\.\d+)? \d+(?:\.\d+)?$/);
  for (const parameter of info.children.filter((c) => c.name === 'parameter'))
    expect(parameter.children.map((c) => c.name)).toEqual(['valueName', 'value']);
  toWhomAndAboutWhat(alert);
  return alert;
}
