import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  decodePress,
  encodePress,
  idOf,
  keptFactOf,
  type Pressable,
} from '../../../src/chat/discord/custom-id.ts';
import { runs } from '../../helpers/long.ts';

const change: Pressable = {
  trip: 'k3v9x2ab',
  press: { path: 'pitch amend', options: { entry: 'e7f3k2m9', number: 12 } },
  ask: {
    title: 'When was pitch 12 done?',
    fields: [{ name: 'at', label: 'Time', placeholder: '14:10 or 20m ago', value: '14:22' }],
  },
};

describe('custom_id', () => {
  it('comes back as it was, within 100 characters', () => {
    const id = encodePress(change, 3);
    expect(id?.length).toBeLessThanOrEqual(100);
    expect(decodePress(id ?? '')?.press).toEqual(change.press);
    expect(decodePress(id ?? '')?.trip).toBe(change.trip);
  });

  it('keeps any text, number and yes or no apart', () => {
    const name = fc.stringMatching(/^[a-z][a-z0-9_-]{0,7}$/u);
    const value = fc.oneof(
      fc.string({ maxLength: 12, unit: 'binary' }),
      fc.maxSafeInteger(),
      fc.double({ noNaN: true, noDefaultInfinity: true }).filter((n) => !Object.is(n, -0)),
      fc.boolean(),
    );
    const field = fc.record(
      {
        name,
        label: fc.string({ maxLength: 8 }),
        value: fc.string({ minLength: 1, maxLength: 6 }),
      },
      { requiredKeys: ['name', 'label'] },
    );
    const press = fc.record(
      {
        trip: fc.stringMatching(/^[a-z0-9]{8}$/u),
        press: fc.record({
          path: fc.constantFrom('pitch done', 'help', 'overdue ack'),
          options: fc.dictionary(name, value, { maxKeys: 2, noNullPrototype: true }),
        }),
        ask: fc.record({
          title: fc.string({ maxLength: 8 }),
          fields: fc.array(field, { minLength: 1, maxLength: 2 }),
        }),
      },
      { requiredKeys: ['press'] },
    );
    fc.assert(
      fc.property(press, fc.nat(24), (p, place) => {
        const id = encodePress(p as Pressable, place);
        if (id === undefined) return;
        const back = decodePress(id);
        expect(back?.press).toEqual(p.press);
        expect(back?.trip).toBe(p.trip);
        expect(back?.ask?.fields.map((f) => f.name)).toEqual(p.ask?.fields.map((f) => f.name));
      }),
      { numRuns: runs(200, 5000) },
    );
  });

  it('gives the same press another id at another place', () => {
    expect(encodePress(change, 0)).not.toBe(encodePress(change, 1));
  });

  it('of a form whose title is too long is short, and the whole is kept beside it', () => {
    const long = { ...change, ask: { title: 'T'.repeat(45), fields: change.ask?.fields ?? [] } };
    const { customId, kept } = idOf(long, 3);
    expect(customId.length).toBeLessThanOrEqual(40);
    expect(keptFactOf(customId)).toBe(kept?.fact);
    // Goes with its trip: the store takes facts along that end in its id.
    expect(kept?.fact).toMatch(/:k3v9x2ab$/u);
    expect(decodePress(kept?.text ?? '')).toEqual(long);
    expect(decodePress(customId)).toBeUndefined();
  });

  it('says so when the press itself does not fit', () => {
    const press = { path: 'echo all', options: { text: 'x'.repeat(120) } };
    expect(encodePress({ press }, 0)).toBeUndefined();
  });

  it.each(['', '1', '0a|x', 'other:thing', '10trip', '10t|pitch done|number#%%'])(
    'does not read %j',
    (id) => expect(decodePress(id)).toBeUndefined(),
  );
});
