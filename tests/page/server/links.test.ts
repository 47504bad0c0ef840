import { describe, expect, it } from 'vitest';
import { createLinks, LINK_MS } from '../../../src/page/server/links.ts';
import { SECRET } from '../../helpers/secret.ts';

function parts(status: 'open' | 'closed' = 'open') {
  const facts = new Map<string, string>();
  let made = 0;
  return {
    facts,
    secret: SECRET,
    baseUrl: 'https://tagline.example.org/',
    token: () => (made++).toString(16).padStart(40, 'a'),
    store: {
      getFact: async (name: string) => facts.get(name),
      async setFact(name: string, value: string | undefined) {
        if (value === undefined) facts.delete(name);
        else facts.set(name, value);
      },
      async swapFact(name: string, was: string | undefined, value: string | undefined) {
        if (facts.get(name) !== was) return false;
        await this.setFact(name, value);
        return true;
      },
      trip: async (id: string) =>
        id === 'trip0001'
          ? { id, channel: 'c', name: 'x', status, seq: 1, openedAtMs: 0 }
          : undefined,
    },
  };
}

const TOKEN = '0'.padStart(40, 'a');

describe('links', () => {
  it('open the page of their trip and of no other', async () => {
    const links = createLinks(parts());
    const url = await links.make('trip0001', 5);
    expect(url).toBe(`https://tagline.example.org/t/trip0001/${TOKEN}`);
    expect(await links.opens('trip0001', TOKEN, 1)).toBe(true);
    expect(await links.opens('trip0002', TOKEN, 1)).toBe(false);
    expect(await links.opens('trip0001', `${TOKEN.slice(0, -1)}1`, 1)).toBe(false);
    expect(await links.opens('trip0001', '', 1)).toBe(false);
    expect(await links.madeAt('trip0001')).toBe(5);
  });

  it('a new one ends the one before; the end ends it for good', async () => {
    const links = createLinks(parts());
    await links.make('trip0001', 1);
    await links.make('trip0001', 2);
    expect(await links.opens('trip0001', TOKEN, 1)).toBe(false);
    expect(await links.revoke('trip0001')).toBe(true);
    expect(await links.revoke('trip0001')).toBe(false);
    expect(await links.opens('trip0001', '1'.padStart(40, 'a'), 1)).toBe(false);
  });

  it('end when the trip is closed', async () => {
    const links = createLinks(parts('closed'));
    await links.make('trip0001', 1);
    expect(await links.opens('trip0001', TOKEN, 1)).toBe(false);
  });

  it('keep nothing from which the token could be read', async () => {
    const p = parts();
    await createLinks(p).make('trip0001', 1);
    const [[name, value] = ['', '']] = [...p.facts];
    expect(name.endsWith(':trip0001')).toBe(true);
    expect(value).not.toContain(TOKEN);
  });

  it('refuse a weak token and a base address with a path', async () => {
    const weak = createLinks({ ...parts(), token: () => 'abc' });
    await expect(weak.make('trip0001', 1)).rejects.toThrow('40 hexadecimal digits');
    for (const baseUrl of ['https://example.org/x', 'example.org', 'ftp://example.org', '']) {
      expect(() => createLinks({ ...parts(), baseUrl })).toThrow('not a base address');
    }
  });
});

/** OWASP ASVS 5.0, V7.3.2 (sessions end after a time, whatever happens): a link is what opens the page. */
it('ends after two weeks, to the moment', async () => {
  const links = createLinks(parts());
  await links.make('trip0001', 1000);
  expect(await links.opens('trip0001', TOKEN, 1000 + LINK_MS)).toBe(true);
  expect(await links.opens('trip0001', TOKEN, 1001 + LINK_MS)).toBe(false);
});
