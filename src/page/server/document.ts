import { ENGLISH, type Words } from '../../say/contact/words.ts';
import { type Hours, textIn12 } from '../../say/hours.ts';
import { type Html, html, unsafeHtml } from './html.ts';
import { STYLE } from './style.ts';

const SHEET = unsafeHtml(`<style>${STYLE}</style>`);

/** A whole page. `note` stands at the foot beside what tagline is not. */
export function documentOf(page: {
  title: string;
  body: Html;
  note?: Html;
  /** What else stands in the head. */
  head?: Html;
  /** The clock that the trip's times are written by. */
  hours?: Hours;
  /** The language that it is in; English unless it says so. */
  w?: Words;
}): string {
  const { title, body, note, head, hours = 24, w = ENGLISH } = page;
  const whole = html`<!doctype html>
<html lang="${w.language}">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="robots" content="noindex, nofollow, noarchive">
<meta name="referrer" content="no-referrer">
<title>${title}</title>
<link rel="icon" href="data:,">
${head}${SHEET}
</head>
<body>
<main>
${body}
</main>
<footer>
${note}
<p class="quiet">${w.text('rescue.note')}</p>
</footer>
</body>
</html>
`.text;
  return hours === 24 ? whole : textsIn12(whole);
}

/** Times of day between the tags; what stands in attributes is nobody's to read. */
function textsIn12(page: string): string {
  return page.replace(/>[^<]+</gu, textIn12);
}

/** The same words whether a link never was, was withdrawn or has ended, so that nothing can be learnt from it. */
export function gonePage(w: Words = ENGLISH): string {
  const title = w.text('gone.title');
  return documentOf({
    w,
    title,
    body: html`<h1>${title}</h1>
<p>${w.text('gone.why')}</p>
<p>${w.text('gone.worried')}</p>`,
  });
}

/** For whoever waits at home: nothing is known here, and that is no news of the party. */
export function unreadablePage(
  { trip, seq }: { trip: string; seq: number },
  w: Words = ENGLISH,
): string {
  const title = w.text('unread.title');
  return documentOf({
    w,
    title,
    body: html`<h1>${title}</h1>
<p class="lead">${w.text('unread.first')}</p>
<p>${w.text('unread.then')}</p>
<p>${w.text('unread.again')}</p>
<p class="quiet">${w.text('unread.operator', { trip, seq })}</p>`,
  });
}

export function wordsPage(title: string, words: string): string {
  return documentOf({ title, body: html`<h1>${title}</h1>\n<p>${words}</p>` });
}
