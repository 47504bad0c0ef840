import { dayClock } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import { sheetOf } from '../../watch/sheet.ts';
import { full, sheetSections } from '../../watch/sheet-text.ts';
import { documentOf } from './document.ts';
import { html, unsafeHtml } from './html.ts';

/** The second step before the sheet: what it holds, and that opening it is written down. */
export function sheetQuestion(state: TripState, path: string): string {
  return documentOf({
    title: `Sheet, ${state.name}`,
    body: html`<h1>Open the sheet for ${state.name}?</h1>
<p>It is for reading to the rescue service: names, ages, phone numbers, medical notes, equipment, plan.</p>
<p>Opening it is written in the trip’s record, where the party sees it. Pass it on for that purpose only.</p>
<form method="post" action="${path}/sheet"><button class="act" type="submit">Open the sheet</button></form>
<p><a href="${path}">Back</a></p>`,
  });
}

/** The sheet in the order in which a dispatcher asks; one A4 page when printed. */
export function sheetPage(state: TripState, nowMs: number, path: string): string {
  const sheet = sheetOf(state, nowMs);
  const sections = sheetSections(sheet);
  return documentOf({
    title: `Sheet, ${state.name}, ${dayClock(state.zone, nowMs, nowMs)}`,
    body: html`<h1>Sheet: ${state.name}</h1>
<p>Made ${full(sheet, nowMs)}. All times are ${sheet.zone}. Private: for the rescue service only.</p>
<div class="columns">${sections.map(
      ({
        title,
        lines,
      }) => html`<section${lines.length > 12 ? unsafeHtml(' class="long"') : ''}><h2>${title}</h2>
<ul>${lines.map((line) => html`<li>${line}</li>`)}</ul></section>`,
    )}</div>`,
    note: html`<p class="screen">Print it now: it stays true for what was known at ${dayClock(state.zone, nowMs, nowMs)}. <a href="${path}">Back to the status</a></p>`,
  });
}
