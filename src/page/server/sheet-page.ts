import { type Sheet, sheetOf } from '../../alarm/sheet.ts';
import { full, sheetSections } from '../../alarm/sheet-text.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
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
${w.language === 'en' ? undefined : html`<p>${w.text('page.sheetEnglish')}</p>`}
<form method="post" action="${path}/sheet"><button class="act" type="submit">${w.text('sheet.open')}</button></form>
<p><a href="${path}">${w.text('sheet.back')}</a></p>`,
  });
}

/** The sheet in the order in which a dispatcher asks; one A4 page when printed. */
export function sheetPage(state: TripState, nowMs: number, path: string): string {
  return documentOf({
    title: `Sheet, ${state.name}, ${dayClock(state.zone, nowMs, nowMs)}`,
    hours: state.settings.hours,
    body: sheetBody(sheetOf(state, nowMs)),
    note: html`<p class="screen">Print it now: it stays true for what was known at ${dayClock(state.zone, nowMs, nowMs)}. <a href="${path}">Back to the status</a></p>`,
  });
}

/** The same as a file to be printed, for whoever asked in the chat. */
export function printableSheet(sheet: Sheet): FileOut {
  const page = documentOf({
    title: `Sheet, ${sheet.name}`,
    body: sheetBody(sheet),
    hours: sheet.hours,
  });
  return textFile(`sheet-${fileName(sheet.name)}.html`, 'text/html; charset=utf-8', page);
}

function sheetBody(sheet: Sheet): Html {
  return html`<h1>Sheet: ${sheet.name}</h1>
<p>Made ${full(sheet, sheet.madeAtMs)}. All times are ${sheet.zone}. Private: for the rescue service only.</p>
<div class="columns">${sheetSections(sheet).map(
    ({
      title,
      lines,
    }) => html`<section${lines.length > 12 ? unsafeHtml(' class="long"') : ''}><h2>${title}</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul></section>`,
  )}</div>`;
}
