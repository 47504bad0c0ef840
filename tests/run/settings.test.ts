import { expect, test } from 'vitest';
import { readSettings } from '../../src/settings.ts';

const SECRET = `whsec_${Buffer.alloc(24, 1).toString('base64')}`;
const GATEWAY = {
  TAGLINE_WEBHOOK_URL: 'https://gate.example.org/x',
  TAGLINE_WEBHOOK_SECRET: SECRET,
};

test('a gateway needs its secret, and the other way round', () => {
  expect(readSettings(GATEWAY).TAGLINE_WEBHOOK_SECRET).toEqual([SECRET]);
  const both = { ...GATEWAY, TAGLINE_WEBHOOK_SECRET: `${SECRET} ${SECRET}` };
  expect(readSettings(both).TAGLINE_WEBHOOK_SECRET).toEqual([SECRET, SECRET]);
  expect(readSettings({}).TAGLINE_WEBHOOK_URL).toBeUndefined();
  for (const lacking of ['TAGLINE_WEBHOOK_URL', 'TAGLINE_WEBHOOK_SECRET']) {
    expect(() => readSettings({ ...GATEWAY, [lacking]: '' })).toThrow(
      'TAGLINE_WEBHOOK_SECRET: goes with',
    );
  }
});

test.each([
  ['TAGLINE_PAGE_URL', 'ftp://example.org', 'begins with https:// or http://'],
  ['TAGLINE_PAGE_URL', 'javascript:alert(1)', 'begins with https:// or http://'],
  ['TAGLINE_HEARTBEAT_URL', 'ping.example.org', 'begins with https:// or http://'],
  [
    'TAGLINE_WEBHOOK_URL',
    'http://gate.example.org/x',
    'an https address; http on this machine only',
  ],
  ['TAGLINE_WEBHOOK_URL', 'gate', 'an https address'],
  ['TAGLINE_WEATHER', 'rainbow', 'Invalid option'],
  ['TAGLINE_WEBHOOK_SECRET', 'hush', 'whsec_ and the base64 of 24 to 64 random bytes'],
  ['TAGLINE_WEBHOOK_SECRET', `${SECRET} ${SECRET} ${SECRET}`, 'at most two of them'],
])('%s: %s is refused, and said without the secret', (name, value, says) => {
  const read = () => readSettings({ ...GATEWAY, [name]: value });
  expect(read).toThrow(`${name}: ${says}`.slice(0, name.length + 2));
  expect(read).toThrow(says);
  if (name.endsWith('SECRET')) expect(read).not.toThrow(value);
});
