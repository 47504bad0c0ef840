/** Before every test file: random tests of the short form draw the same every time. */
import fc from 'fast-check';
import { LONG } from './long.ts';

// In the long form fast-check chooses, and prints, the seed of a failure.
if (!LONG) fc.configureGlobal({ seed: 20310612 });
