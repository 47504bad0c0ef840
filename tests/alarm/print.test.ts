import { parseHTML } from 'linkedom';
import { expect, it } from 'vitest';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { printableSheet } from '../../src/page/server/sheet-page.ts';
import { DAWN_MS, departed, HOUR } from './trip.ts';

it('the file for printing is one whole page, with nothing fetched and names escaped', () => {
  const story = departed().tell({ kind: 'watch.details', data: { vehicle: 'red <b>van</b>' } });
  const file = printableSheet(sheetOf(story.state, DAWN_MS + HOUR));
  expect([file.name, file.mime]).toEqual(['sheet-harrow-tower.html', 'text/html; charset=utf-8']);
  const { document } = parseHTML(new TextDecoder().decode(file.bytes));
  expect(document.querySelector('h1')?.textContent).toBe('Sheet: Harrow Tower');
  expect([...document.querySelectorAll('h2')].map((h) => h.textContent)).toContain('Who');
  expect(document.querySelector('li b')).toBeNull();
  expect(document.body.textContent).toContain('Vehicle: red <b>van</b>');
  expect(document.querySelectorAll('script, img, [src]')).toHaveLength(0);
});
