/**
 * Holds a CAP 1.2 message to the schema in cap-1.2.xsd by libxml2, and to the rules of OASIS "Common Alerting Protocol
 * Version 1.2", OASIS Standard of 1 July 2010 (docs.oasis-open.org/emergency/cap/v1.2/CAP-v1.2-os.html), that no schema
 * says: section 3.2.1 for the alert, 3.2.4 for the area. The schema was compared element by element with a copy of
 * OASIS's that a public warning service keeps; the rules with that text as public readers and writers of CAP quote it.
 */
import { readFileSync } from 'node:fs';
import { XmlDocument, XsdValidator } from 'libxml2-wasm';
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

const schema = XmlDocument.fromBuffer(readFileSync(new URL('./cap-1.2.xsd', import.meta.url)));
const validator = XsdValidator.fromDoc(schema);

/** Throws what libxml2 says of a message that breaks the schema. */
export function valid(xml: string): void {
  const doc = XmlDocument.fromString(xml);
  try {
    validator.validate(doc);
  } finally {
    doc.dispose();
  }
}

/** A date-time as `references` has it: the schema's pattern (section 3.4), which looks at elements only. */
const DATE_TIME = /^\d\d\d\d-\d\d-\d\dT\d\d:\d\d:\d\d[-,+]\d\d:\d\d$/;

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

/** The message, held to the schema and the rules, and read. */
export function checked(xml: string): Element {
  valid(xml);
  const alert = parse(xml);
  for (const name of ['identifier', 'sender']) expect(one(alert, name)).not.toMatch(/[\s,<&]/);
  const infos = alert.children.filter((c) => c.name === 'info');
  expect(infos.length).toBeGreaterThan(0);
  for (const area of infos.flatMap((i) => i.children.filter((c) => c.name === 'area'))) {
    expect(one(area, 'areaDesc')).toBeTruthy();
    // 3.2.4, "circle": a point in WGS 84, a space, a radius in kilometres.
    for (const circle of values(area, 'circle'))
      expect(circle).toMatch(/^-?\d+(?:\.\d+)?,-?\d+(?:\.\d+)? \d+(?:\.\d+)?$/);
  }
  toWhomAndAboutWhat(alert);
  return alert;
}
