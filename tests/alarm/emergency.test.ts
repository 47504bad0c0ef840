/** Numbers as they are typed: the local one, and the direct one that works from anywhere. */
import { expect, it } from 'vitest';
import { emergencyNumbers, numbersToCall } from '../../src/alarm/emergency.ts';

it.each([
  ['112', { local: '112' }, ['112']],
  // E.123 (ITU-T, 2001; from memory): the international form begins with a plus sign.
  ['911, +1 555 0100', { local: '911', direct: '+1 555 0100' }, ['+1 555 0100', '911']],
  ['+47 555 01 000 / 112', { local: '112', direct: '+47 555 01 000' }, ['+47 555 01 000', '112']],
  ['+47 555 01 000', { direct: '+47 555 01 000' }, ['+47 555 01 000']],
  ['144 or +41 555 0100', { local: '144', direct: '+41 555 0100' }, ['+41 555 0100', '144']],
  [undefined, {}, []],
])('%s', (text, numbers, toCall) => {
  expect(emergencyNumbers(text)).toEqual(numbers);
  expect(numbersToCall(text)).toEqual(toCall);
});
