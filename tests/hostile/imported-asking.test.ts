/**
 * What a record brought along says of who was asked to be contact sends nobody a message: each way is asked
 * anew, and counted. OWASP ASVS 5.0: V2.3.2 (limits can't be got round), V2.4.1 (no flood of messages to others).
 */
import { expect, test } from 'vitest';
import { ask } from '../commands/ask.ts';
import { world } from '../helpers/world.ts';
import { departed, record } from './files.ts';

test('ASVS V2.3.2, V2.4.1: a record that asks a person under thirty addresses sends them one message', async () => {
  const w = await world();
  const at = '2031-06-11T00:00:00Z';
  const victim = { name: 'Victim', roles: ['contact'], email: 'victim@example.org' };
  const entries = [
    ...departed(at).filter(({ kind }) => kind !== 'trip.departed'),
    { kind: 'roster.added', at, data: { id: 'victim', fields: victim } },
    ...Array.from({ length: 30 }, (_, i) => ({
      ...{ kind: 'contact.asked', at },
      data: { person: 'victim', way: 'email', to: `${i}@example.org` },
    })),
  ];
  const bytes = new TextEncoder().encode(record(entries));
  const file = { name: 'file', size: bytes.length, bytes: async () => bytes };
  const opened = await ask(w, { user: 'mallory', channel: 'c-1' }, 'trip open', { record: file });
  expect([opened.code, opened.lines]).toEqual([undefined, expect.anything()]);
  await w.tick();
  const mails = w.told.filter(({ way }) => way === 'email');
  expect(mails.map(({ to }) => to)).toEqual(['Victim']);
  // Nor is anything kept waiting that would be thrown away later.
  const notices = await w.store.notices(opened.trip as string);
  expect(notices.filter(({ key }) => key.includes('invite'))).toHaveLength(1);
  await w.close();
});
