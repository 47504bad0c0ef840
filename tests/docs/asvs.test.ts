/**
 * OWASP ASVS 5.0.0, its chapters V2 (validation and business logic), V5 (files), V8 (authorization) and V14 (data
 * protection): each requirement is in the name of a test, or stands below with why it isn't. Numbers from the
 * published text, github.com/OWASP/ASVS, folder 5.0/en, files 0x11-V2, 0x14-V5, 0x17-V8 and 0x23-V14.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

/** How many requirements each section has. */
const SECTIONS: Record<string, number> = {
  ...{ 'V2.1': 3, 'V2.2': 3, 'V2.3': 5, 'V2.4': 2 },
  ...{ 'V5.1': 1, 'V5.2': 6, 'V5.3': 3, 'V5.4': 3 },
  ...{ 'V8.1': 4, 'V8.2': 4, 'V8.3': 3, 'V8.4': 2 },
  ...{ 'V14.1': 2, 'V14.2': 8, 'V14.3': 3 },
};

/** What no test holds us to. */
const APART: Record<string, string> = {
  'V2.1.2':
    'What has to fit together is documented by src/trip/rules and the refusal codes in DEVELOPERS.md.',
  'V5.2.6': 'No images are taken.',
  'V5.3.1': 'A file that is sent is read and dropped; none is kept, and none is served.',
  'V5.4.3': 'For the same reason none is handed on to anybody who could open it.',
  'V8.1.2': 'The README’s Privacy says who reads which fields; V8.2.3 is held by a test.',
  'V8.1.3':
    'Nothing is decided by place, device or address; standing alarms, which are, by the README’s steps.',
  'V8.1.4': 'As V8.1.3.',
  'V8.2.4': 'As V8.1.3; who somebody is, the chat says.',
  'V8.4.2':
    'Whoever runs it does so by the command line of the machine; no such interface is on a network.',
  'V14.1.2': 'deploy/OPERATING.md says what is kept where, for how long, and what is never logged.',
  'V14.2.1':
    'Not met, on purpose: contacts have no account, so a link is their key. It ends by itself, is in no log of ours, in no referrer and no cache.',
  'V14.2.8': 'Files that are sent are not kept.',
  'V14.3.1': 'Pages hold no state in the browser, and none is cached.',
};

const all = Object.entries(SECTIONS).flatMap(([section, count]) =>
  Array.from({ length: count }, (_, i) => `${section}.${i + 1}`),
);

/** Every requirement that a test's name begins with. */
function named(): Set<string> {
  const tests = fileURLToPath(new URL('..', import.meta.url));
  const sources = readdirSync(tests, { recursive: true, encoding: 'utf8' }).filter((file) =>
    file.endsWith('.ts'),
  );
  const names = sources.flatMap((file) => [
    ...readFileSync(`${tests}/${file}`, 'utf8').matchAll(/['"`]ASVS ((?:V\d+\.\d+\.\d+(?:, )?)+)/g),
  ]);
  return new Set(names.flatMap(([, list = '']) => list.split(', ')));
}

test('every requirement of these chapters is held by a test, or is said why not', () => {
  const held = named();
  expect(all.filter((number) => held.has(number) === Object.hasOwn(APART, number))).toEqual([]);
});

test('no number is named that isn’t in the published text', () => {
  const ours = [...named(), ...Object.keys(APART)].filter((n) => /^V(2|5|8|14)\./.test(n));
  expect(ours.filter((number) => !all.includes(number))).toEqual([]);
});
