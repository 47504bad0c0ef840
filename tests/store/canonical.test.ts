import fc from 'fast-check';
import { expect, test } from 'vitest';
import { canonicalJson } from '../../src/store/canonical.ts';

/** RFC 8785, section 3.2.2: the sample object and its canonical form. */
test('RFC 8785, 3.2.2: numbers, strings and literals', () => {
  const sample = JSON.parse(String.raw`{
    "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
    "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
    "literals": [null, true, false]
  }`);
  expect(canonicalJson(sample)).toBe(
    `{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],` +
      String.raw`"string":"€$\u000f\nA'B\"\\\\\"/"}`,
  );
});

/** RFC 8785, section 3.2.3: the order of names, by UTF-16 code units. */
test('RFC 8785, 3.2.3: the order of names', () => {
  const sample = {
    '\u20ac': 'Euro Sign',
    '\r': 'Carriage Return',
    '\ufb33': 'Hebrew Letter Dalet With Dagesh',
    '1': 'One',
    '\ud83d\ude00': 'Emoji: Grinning Face',
    '\u0080': 'Control',
    '\u00f6': 'Latin Small Letter O With Diaeresis',
  };
  expect(Object.values(JSON.parse(canonicalJson(sample)) as object).length).toBe(7);
  const order = [...canonicalJson(sample).matchAll(/:"([^"]+)"/g)].map(([, name]) => name);
  expect(order).toEqual([
    'Carriage Return',
    'One',
    'Control',
    'Latin Small Letter O With Diaeresis',
    'Euro Sign',
    'Emoji: Grinning Face',
    'Hebrew Letter Dalet With Dagesh',
  ]);
});

test('is JSON for the same value, and one text for a value however it was put together', () => {
  fc.assert(
    fc.property(fc.jsonValue(), (value) => {
      const text = canonicalJson(value);
      expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      expect(canonicalJson(JSON.parse(text))).toBe(text);
    }),
  );
});

test('what no UTF-8 holds becomes U+FFFD, as it is when it is stored', () => {
  expect(canonicalJson('a\ud800b')).toBe('"a\ufffdb"');
  expect(canonicalJson({ gone: undefined, list: [undefined, Number.NaN] })).toBe(
    '{"list":[null,null]}',
  );
});
