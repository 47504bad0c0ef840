import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readRelayed } from '../../src/chat/relayed.ts';

describe('what a relay wrote', () => {
  it.each([
    ['P5 done 14:32', { what: 'done', pitch: 5, at: '14:32' }],
    ['pitch 12 is fixed, 9.05', { what: 'fixed', pitch: 12, at: '09:05' }],
    ['they started 6 at 16h20', { what: 'start', pitch: 6, at: '16:20' }],
    ['7 clean', { what: 'done', pitch: 7 }],
    ['all well, tired, 21:40', { what: 'ok', at: '21:40' }],
    ['heard them twice', { what: 'ok' }],
    ['between 4 and 5', { what: 'ok' }],
    ['', { what: 'ok' }],
  ])('%s', (text, read) => {
    expect(readRelayed(text)).toEqual(read);
  });

  it('reads any text at once, and never throws', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 2000 }), (text) => {
        expect(['done', 'fixed', 'start', 'ok']).toContain(readRelayed(text).what);
      }),
    );
  });
});
