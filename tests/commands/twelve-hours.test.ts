/** A trip by the 12-hour clock: no time of day is written by the other one, wherever it is read. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { altOf } from '../../src/page/picture/alt.ts';
import { drawSvg } from '../../src/page/picture/draw.ts';
import { pictures } from '../../src/page/picture/pictures.ts';
import { sceneOf } from '../../src/page/picture/scene-of.ts';
import { printableSheet, sheetPage } from '../../src/page/server/sheet-page.ts';
import { statusPage } from '../../src/page/server/status-page.ts';
import { text, type World, world } from '../helpers/world.ts';
import { openTwoDays, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
  await w.say('mara', '/trip edit hours:12');
  await w.say('mara', '/checkin plan nightly:21:00 down:"fri 20:00"');
});
afterEach(() => w.close());

/** A time of the 24-hour clock: with a leading nought, or past noon, or without am and pm behind it. */
const OTHER =
  /(?<![\d:+−-])(?:0\d|1[3-9]|2[0-3]):[0-5]\d(?!\d|:\d)|(?<![\d:+−-])\d{1,2}:[0-5]\d(?! (?:am|pm)|\d|:\d)/u;

it('in answers, messages, pictures, pages and the sheet', async () => {
  await upTo(w, 4);
  w.at(`${THU} 12:30`);
  await w.tick();
  const { state } = await w.trip();
  const now = w.clock.wallMs();
  const forecast = await forecastOf(w.app, state, now);
  const scene = sceneOf(state, forecast, now);
  const page = statusPage({ state, forecast, nowMs: now, path: '/t/a/b', still: true });
  const printed = new TextDecoder().decode(printableSheet(sheetOf(state, now)).bytes);
  const shown = (html: string) =>
    html.replace(/<style>.*?<\/style>/su, '').replace(/<[^>]*>/gu, '\n');
  const all: Record<string, string> = {
    plan: text(await w.say('mara', '/plan')),
    topout: text(await w.say('mara', '/topout')),
    told: w.told.map((t) => t.text).join('\n'),
    sheet: sheetText(sheetOf(state, now)),
    printed: shown(printed),
    sheetPage: shown(sheetPage(state, now, '/t/a/b')),
    page: shown(page),
    drawing: shown(drawSvg(scene)),
    alt: altOf(scene),
    board: pictures.text(state, forecast, now, 78).join('\n'),
  };
  for (const [where, words] of Object.entries(all)) {
    expect(words.match(new RegExp(`.*${OTHER.source}.*`, 'gu')) ?? [], where).toEqual([]);
    expect(words, where).toMatch(/\d:\d\d [ap]m/);
  }
});

it('a duration in a table is no time of day', async () => {
  w.at('2031-06-11 19:25');
  await w.say('mara', '/trip edit stop:11:45pm');
  await w.say('mara', '/schedule set');
  await upTo(w, 5);
  const reply = await w.say('mara', '/schedule show');
  const margins = (reply.table?.rows ?? []).map((row) => row[5] ?? '');
  // Ten hours before the latest time: read as ten in the morning, once.
  expect(margins.join(' ')).toMatch(/(?:^| )1\d:\d\d/u);
  expect(margins.join(' ')).not.toMatch(/[ap]m/u);
});
