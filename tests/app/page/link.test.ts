import { afterEach, expect, it } from 'vitest';
import { createLinks, type PageLinks } from '../../../src/page/server/links.ts';
import { SECRET } from '../../helpers/secret.ts';
import { openDemo, text, type World, type WorldOptions, world } from '../../helpers/world.ts';

const open: World[] = [];
afterEach(async () => {
  for (const w of open.splice(0)) await w.close();
});

async function opened(around?: WorldOptions['around']): Promise<World> {
  const w = await world(around === undefined ? {} : { around });
  open.push(w);
  await openDemo(w);
  return w;
}

async function withPage() {
  let n = 0;
  const token = () => (n++).toString(16).padStart(40, 'c');
  const made: PageLinks[] = [];
  const w = await opened((store) => {
    made.push(
      createLinks({ store, baseUrl: 'https://tagline.example.org', token, secret: SECRET }),
    );
    return { pages: made[0] };
  });
  return { w, links: made[0] as PageLinks };
}

const TOKEN = '0'.padStart(40, 'c');

it('says what is missing where there is no page', async () => {
  const w = await opened();
  const reply = await w.say('mara', '/overdue link');
  expect(reply.refused).toBe(true);
  expect(text(reply)).toContain('There is no status page here.');
});

it('makes a link for whoever is on the roster, for the asker only', async () => {
  const { w, links } = await withPage();
  const reply = await w.say('mara', '/overdue link');
  const { row } = await w.trip();
  expect(reply.private).toBe(true);
  expect(text(reply)).toContain(`https://tagline.example.org/t/${row.id}/${TOKEN}`);
  expect(await links.opens(row.id, TOKEN, w.clock.wallMs())).toBe(true);
  expect((await w.say('stranger', '/overdue link')).refused).toBe(true);
});

it('a second link ends the first and says so; the button ends the last', async () => {
  const { w, links } = await withPage();
  await w.say('mara', '/overdue link');
  const second = await w.say('mara', '/overdue link');
  expect(text(second)).toContain('The link before it does not work any more.');
  const { row } = await w.trip();
  expect(await links.opens(row.id, TOKEN, w.clock.wallMs())).toBe(false);
  expect(text(await w.say('mara', '[End the link]'))).toBe('The link does not work any more.');
  expect(await links.opens(row.id, '1'.padStart(40, 'c'), w.clock.wallMs())).toBe(false);
  expect(text(await w.say('mara', '/overdue link end:yes'))).toBe('There was no link.');
});
