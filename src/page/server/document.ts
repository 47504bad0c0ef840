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
}): string {
  const { title, body, note, head, hours = 24 } = page;
  const whole = html`<!doctype html>
<html lang="en">
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
<p class="quiet">tagline is no rescue service and calls nobody. The land manager’s and the rescuers’ word goes first.</p>
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
export function gonePage(): string {
  return documentOf({
    title: 'This link does not work',
    body: html`<h1>This link does not work</h1>
<p>It was withdrawn, the trip has ended, or it was never a link. Ask the party for a new one.</p>
<p>If you are worried about somebody, call the local emergency number.</p>`,
  });
}

/** For whoever waits at home: nothing is known here, and that is no news of the party. */
export function unreadablePage({ trip, seq }: { trip: string; seq: number }): string {
  return documentOf({
    title: 'This trip can’t be shown',
    body: html`<h1>This trip can’t be shown</h1>
<p class="lead">tagline can’t read its record any more. It doesn’t know how the party is, and nobody watches its clock.</p>
<p>Go by what the party told you: when they meant to be heard from, and whom to call. If that time has passed, or you fear for them, call the local emergency number.</p>
<p>Ask the party and their ground crew. This page tries again each time it is opened.</p>
<p class="quiet">Whoever runs this bot finds it in the log as trip ${trip}, entry ${String(seq)}.</p>`,
  });
}

export function wordsPage(title: string, words: string): string {
  return documentOf({ title, body: html`<h1>${title}</h1>\n<p>${words}</p>` });
}
