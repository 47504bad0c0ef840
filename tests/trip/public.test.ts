/** What strangers to a trip may read of it: what is listed, and nothing that a value has besides. */
import { describe, expect, it } from 'vitest';
import { type Kept, only } from '../../src/trip/only.ts';

interface Thing {
  name: string;
  note?: string;
  by: { id: string };
}

describe('only what is listed', () => {
  const cut = only<Thing>({ name: 'stays', note: 'goes', by: () => ({ id: '' }) });

  it('ASVS V8.2.3, V14.1.1: stays, and of anything unforeseen nothing', () => {
    const told = { name: 'rope', note: 'frayed', by: { id: '42' }, later: 'a new field' };
    expect(cut(told)).toEqual({ name: 'rope', by: { id: '' } });
    expect(Object.keys(cut({ name: 'rope', by: { id: '42' } }))).toEqual(['name', 'by']);
  });

  it('compiles only where each field is decided, and none that is needed goes', () => {
    // @ts-expect-error `note` isn't listed.
    const open: Kept<Thing> = { name: 'stays', by: 'stays' };
    // @ts-expect-error `name` is needed.
    const bare: Kept<Thing> = { name: 'goes', note: 'goes', by: 'stays' };
    expect([open, bare]).toHaveLength(2);
  });
});
