import type { NtfyDoor } from '../../app/page/port.ts';
import type { Words } from '../../say/contact/words.ts';
import { readTopic } from '../../trip/topic.ts';
import { type FormContext, formOf } from '../contact/form.ts';
import { type Html, html } from '../server/html.ts';

/** The path that a form to name a topic, or to turn it off, carries; no command has such a one. */
export const NTFY_ON = 'ntfy on';
export const NTFY_OFF = 'ntfy off';

/** Where a topic is named: one that nobody guesses is there already. */
export function ntfyBox(
  w: Words,
  form: FormContext,
  { servers }: NtfyDoor,
  named: string | undefined,
): Html {
  const [first] = servers;
  return html`<p>${w.text('ntfy.about')}</p>
<p>${w.text('ntfy.open')}</p>
<p>${w.text('ntfy.how', { server: new URL(first).host })}</p>
${formOf(form, { label: w.text('ntfy.turnOn'), press: { path: NTFY_ON, options: {} } }, [
  { name: 'topic', label: w.text('ntfy.field'), value: shownTopic(servers, named) ?? fresh(form) },
])}`;
}

/** A topic as it is typed: without the server that is usual here. */
export function shownTopic(
  servers: NtfyDoor['servers'],
  address: string | undefined,
): string | undefined {
  const at = address === undefined ? undefined : readTopic(address);
  return at?.server === servers[0] ? at.topic : address;
}

/** The same at every look at this page, and of nobody else's: whoever knows a topic reads it. */
function fresh({ seals, path }: FormContext): string {
  return `climb-${seals.link('topic', path.split('?')[0] ?? path).slice(0, 16)}`;
}
