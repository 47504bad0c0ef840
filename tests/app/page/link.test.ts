import { afterEach, beforeEach, expect, it } from 'vitest';
import { createLinks } from '../../../src/page/server/links.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

function withPage() {
  let n = 0;
  const token = () => (n++).toString(16).padStart(40, 'c');
  const links = createLinks({ store: w.store, baseUrl: 'https://tagline.example.org', token });
  w.app.pages = links;
  return links;
}

const TOKEN = '0'.padStart(40, 'c');

it('says what is missing where there is no page', async () => {
  const reply = await w.say('mara', '/overdue link');
  expect(reply.refused).toBe(true);
  expect(text(reply)).toContain('There is no status page here.');
});

it('makes a link for whoever is on the roster, for the asker only', async () => {
  const links = withPage();
  const reply = await w.say('mara', '/overdue link');
  const { row } = await w.trip();
  expect(reply.private).toBe(true);
  expect(text(reply)).toContain(`https://tagline.example.org/t/${row.id}/${TOKEN}`);
  expect(await links.opens(row.id, TOKEN)).toBe(true);
  expect((await w.say('stranger', '/overdue link')).refused).toBe(true);
});

it('a second link ends the first and says so; the button ends the last', async () => {
  const links = withPage();
  await w.say('mara', '/overdue link');
  const second = await w.say('mara', '/overdue link');
  expect(text(second)).toContain('The link before it does not work any more.');
  const { row } = await w.trip();
  expect(await links.opens(row.id, TOKEN)).toBe(false);
  expect(text(await w.say('mara', '[End the link]'))).toBe('The link does not work any more.');
  expect(await links.opens(row.id, '1'.padStart(40, 'c'))).toBe(false);
  expect(text(await w.say('mara', '/overdue link end:yes'))).toBe('There was no link.');
});
