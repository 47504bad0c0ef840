import { expect, test } from 'vitest';
import { fileName } from '../../src/say/message.ts';

test.each([
  ['Harrow Tower', 'harrow-tower'],
  ['Pål & Åse på Ørn', 'pal-ase-pa-orn'],
  ['Zoë', 'zoe'],
  ['वन दीवार', 'वन-दीवार'],
  ['../../etc/passwd', 'etc-passwd'],
  ['CON: "x" | <y>', 'con-x-y'],
  ['...', 'trip'],
  ['x'.repeat(60), 'x'.repeat(40)],
])('ASVS V5.3.2, V5.4.1, V5.4.2: %s → %s', (name, file) => {
  expect(fileName(name)).toBe(file);
});
