/**
 * The tests have a short form and a long one. `npm test` is short: few runs, the same draws every time, so
 * that it passes or fails alike on every machine. `npm run test:long` draws anew, and much more.
 */
export const LONG = process.env.TEST_LONG === '1';

/** How many of something are tried in the short form and in the long one. */
export const runs = (short: number, long: number): number => (LONG ? long : short);
