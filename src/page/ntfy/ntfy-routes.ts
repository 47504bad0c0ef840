import type { FastifyInstance } from 'fastify';
import { saidBy } from '../../alarm/consent.ts';
import { wordsOf } from '../../alarm/words/home.ts';
import type { NtfyDoor } from '../../app/page/port.ts';
import { dropTopic, nameTopic } from '../../app/topics.ts';
import type { Words } from '../../say/contact/words.ts';
import type { Reply } from '../../say/reply.ts';
import { type ByPage, doneByPage } from '../contact/by-page.ts';
import { type FormContext, formOf, type Sent } from '../contact/form.ts';
import { linesHtml } from '../contact/line.ts';
import type { Opened, OwnRoutes } from '../contact/own.ts';
import { toldBy } from '../push/words.ts';
import { documentOf } from '../server/document.ts';
import { html } from '../server/html.ts';
import { NTFY_OFF, NTFY_ON, ntfyBox, shownTopic } from './ntfy-box.ts';

const OWN = '/c/:trip/:person/:token/ntfy';
const BODY_MAX = 8192;

/** Where a contact names the topic that their phone listens to, turns it off, and tries it. */
export function ntfyRoutes(server: FastifyInstance, own: OwnRoutes, ntfy: NtfyDoor): void {
  server.get(
    OWN,
    own.behind(async (opened, _body, reply) =>
      reply.send(ntfyPage(opened, own.form(opened), ntfy)),
    ),
  );

  server.post(
    OWN,
    { bodyLimit: BODY_MAX },
    own.behind(async (opened, body, reply) => {
      const sent = own.read(opened, body);
      const path = sent?.press.path;
      const answered =
        sent !== undefined && (path === NTFY_ON || path === NTFY_OFF)
          ? await turnTopic(own.app, opened, sent)
          : await own.take(opened, body);
      return reply.send(ntfyPage(await own.anew(opened), own.form(opened), ntfy, answered));
    }),
  );
}

/** Names a topic, or turns it off, for whoever sent the form. */
export function turnTopic(
  app: OwnRoutes['app'],
  who: ByPage,
  { press, once }: Pick<Sent, 'press' | 'once'>,
): Promise<Reply> {
  return doneByPage(who, once, (call) => {
    if (press.path === NTFY_OFF) return dropTopic(app, call, who.person);
    const { topic = '' } = press.options as Record<string, unknown>;
    return nameTopic(app, call, who.person, String(topic));
  });
}

function ntfyPage(
  { state, person, path, locale }: Opened,
  form: FormContext,
  ntfy: NtfyDoor,
  answered?: Reply,
): string {
  const w = wordsOf(person, locale);
  const here = { ...form, path: `${path}/ntfy` };
  const named = person.ntfy;
  const said =
    named === undefined ? undefined : saidBy(state, { person: person.id, way: 'ntfy', to: named });
  const topic = shownTopic(ntfy.servers, named) ?? '';
  return documentOf({
    w,
    title: w.text('ntfy.title'),
    body: html`<h1>${w.text('ntfy.title')}</h1>
${answered && html`<section class="alarm" role="status">${linesHtml([...answered.lines, ...(answered.after ?? [])])}</section>`}
<p>${toldBy(w, state, person)}</p>
${answered === undefined ? stands(w, said, topic) : undefined}
${
  said === 'yes'
    ? html`${formOf(here, { label: w.text('push.try'), press: { path: 'checkin drill', options: { who: person.id } } })}
${formOf(here, { label: w.text('ntfy.turnOff'), press: { path: NTFY_OFF, options: {} } })}`
    : undefined
}
<section>${said === 'yes' ? html`<h2>${w.text('ntfy.another')}</h2>` : undefined}
${ntfyBox(w, here, ntfy, named)}</section>
<p><a href="${path}">${w.text('push.back')}</a></p>`,
    note: html`<p>${w.text('page.yoursOnly')}</p>`,
  });
}

function stands(w: Words, said: string | undefined, topic: string) {
  if (said === 'yes') return html`<p>${w.text('ntfy.on', { topic })}</p>`;
  if (said === 'no') return html`<p>${w.text('ntfy.saidNo')}</p>`;
  return said === undefined ? undefined : html`<p>${w.text('ntfy.waits', { topic })}</p>`;
}
