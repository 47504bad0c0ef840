import type { PushDoor } from '../../app/page/port.ts';
import type { Words } from '../../say/contact/words.ts';
import { type FormContext, formOf } from '../contact/form.ts';
import { type Html, html } from '../server/html.ts';
import { SCRIPT_PATHS } from './scripts.ts';
import { SAYS } from './words.ts';

/** The path that a form to turn push on, or off, carries; no command has such a one. */
export const PUSH_ON = 'push on';
export const PUSH_OFF = 'push off';

/** What turns push on in this browser: a button that only a script can work, and words for every browser that can't. */
export function pushBox(w: Words, form: FormContext, { publicKey }: PushDoor, label: string): Html {
  const says = Object.entries(SAYS).map(
    ([name, key]) => html`<p data-say="${name}" hidden>${w.text(key)}</p>`,
  );
  const button = formOf(form, { label, press: { path: PUSH_ON, options: {} } }, [], {
    hidden: true,
    extra: html`<input type="hidden" name="endpoint"><input type="hidden" name="p256dh"><input type="hidden" name="auth">`,
  });
  return html`<p>${w.text('push.about')}</p>
<p>${w.text('push.aboutNight')}</p>
<div id="push" data-key="${publicKey}" aria-live="polite">
<p data-say="script">${w.text('push.noScript')}</p>
${says}
${button}
</div>
<script src="${SCRIPT_PATHS.page}" defer></script>`;
}

/** With it a phone keeps the page as an app of its own, where some phones take push messages only. */
export function manifestLink(path: string): Html {
  const [plain, query] = path.split('?');
  return html`<link rel="manifest" href="${plain}/app.webmanifest${query && `?${query}`}">`;
}

/** W3C Web Application Manifest. */
export function manifestOf(w: Words, trip: string, start: string): string {
  return JSON.stringify({
    name: w.text('push.app', { trip }),
    lang: w.language,
    short_name: trip.slice(0, 12),
    start_url: start,
    scope: '/',
    display: 'standalone',
    icons: [],
  });
}
