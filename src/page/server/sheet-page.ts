import { type Sheet, sheetOf } from '../../alarm/sheet.ts';
import { full, sheetSections } from '../../alarm/sheet-text.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Hours } from '../../say/hours.ts';
import { fileName, textFile } from '../../say/message.ts';
import type { FileOut } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import { documentOf } from './document.ts';
import { type Html, html, unsafeHtml } from './html.ts';

/** The second step before the sheet: what it holds, and that opening it is written down. */
export function sheetQuestion(state: TripState, path: string, w: Words = ENGLISH): string {
  const title = w.text('sheet.ask', { trip: state.name });
  return documentOf({
    w,
    title,
    body: html`<h1>${title}</h1>
<p>${w.text('sheet.for')}</p>
<p>${w.text('sheet.noted')}</p>
<form method="post" action="${path}/sheet"><button class="act" type="submit">${w.text('sheet.open')}</button></form>
<p><a href="${path}">${w.text('sheet.back')}</a></p>`,
  });
}

/** The sheet in the order in which a dispatcher asks; one A4 page when printed. In another language with the English one below. */
export function sheetPage(
  state: TripState,
  nowMs: number,
  path: string,
  { w = ENGLISH, hours = state.settings.hours }: { w?: Words; hours?: Hours } = {},
): string {
  const when = dayClock(state.zone, nowMs, nowMs);
  const english =
    w.language === 'en'
      ? undefined
      : html`<details class="screen"><summary>${w.text('sheet.english')}</summary><div lang="en">${sheetBody(sheetOf(state, nowMs), ENGLISH)}</div></details>`;
  return documentOf({
    w,
    title: w.text('sheet.titleAt', { name: state.name, when }),
    hours,
    body: html`${sheetBody(sheetOf(state, nowMs, w), w)}
${english}`,
    note: html`<p class="screen">${w.text('sheet.printNow', { when })} <a href="${path}">${w.text('sheet.toStatus')}</a></p>`,
  });
}

/** The same as a file to be printed, for whoever asked in the chat. */
export function printableSheet(sheet: Sheet, w: Words = ENGLISH): FileOut {
  const page = documentOf({
    w,
    title: w.text('sheet.titleShort', { name: sheet.name }),
    body: sheetBody(sheet, w),
    hours: sheet.hours,
  });
  return textFile(`sheet-${fileName(sheet.name)}.html`, 'text/html; charset=utf-8', page);
}

function sheetBody(sheet: Sheet, w: Words): Html {
  const made = w.text('sheet.made', { when: full(sheet, sheet.madeAtMs, w), zone: sheet.zone });
  return html`<h1>${w.text('sheet.title', { name: sheet.name })}</h1>
<p>${made} ${w.text('sheet.privateShort')}</p>
<div class="columns">${sheetSections(sheet, w).map(
    ({
      title,
      lines,
    }) => html`<section${lines.length > 12 ? unsafeHtml(' class="long"') : ''}><h2>${title}</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul></section>`,
  )}</div>`;
}
