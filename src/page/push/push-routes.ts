import type { FastifyInstance, FastifyReply } from 'fastify';
import { wordsOf } from '../../alarm/words/home.ts';
import type { App } from '../../app/app.ts';
import { readSubscription, turnPushOff, turnPushOn } from '../../app/devices.ts';
import type { PushDoor } from '../../app/page/port.ts';
import type { Words } from '../../say/contact/words.ts';
import type { Reply } from '../../say/reply.ts';
import { type ByPage, doneByPage } from '../contact/by-page.ts';
import { type FormContext, formOf, type Sent } from '../contact/form.ts';
import { linesHtml } from '../contact/line.ts';
import type { Opened, OwnRoutes } from '../contact/own.ts';
import { documentOf } from '../server/document.ts';
import { PUSH_POLICY } from '../server/headers.ts';
import { html } from '../server/html.ts';
import { manifestLink, manifestOf, PUSH_OFF, PUSH_ON, pushBox } from './push-box.ts';
import { PAGE, SCRIPT_PATHS, WORKER } from './scripts.ts';
import { toldBy } from './words.ts';

const OWN = '/c/:trip/:person/:token/push';
const BODY_MAX = 8192;

/** The two scripts: the same for everybody, and with nothing of anybody in them. */
export function scriptRoutes(server: FastifyInstance): void {
  for (const [name, text] of [
    ['worker', WORKER],
    ['page', PAGE],
  ] as const) {
    server.get(SCRIPT_PATHS[name], async (_request, reply) =>
      reply
        .type('text/javascript; charset=utf-8')
        .header('cache-control', 'no-cache')
        // It shows messages for pages anywhere on this site (W3C Service Workers, 6.4).
        .headers(name === 'worker' ? { 'service-worker-allowed': '/' } : {})
        .send(text),
    );
  }
}

/** Where a contact turns push messages on and off, and tries them. */
export function pushRoutes(server: FastifyInstance, own: OwnRoutes, push: PushDoor): void {
  const { app } = own;
  const show = (opened: Opened, to: FastifyReply, answered?: Reply) =>
    allowPush(to).send(
      pushPage(wordsOf(opened.person, opened.locale), opened, own.form(opened), push, answered),
    );

  server.get(
    OWN,
    own.behind(async (opened, _body, reply) => show(opened, reply)),
  );

  server.post(
    OWN,
    { bodyLimit: BODY_MAX },
    own.behind(async (opened, body, reply) => {
      const sent = own.read(opened, body);
      const path = sent?.press.path;
      const answered =
        sent !== undefined && (path === PUSH_ON || path === PUSH_OFF)
          ? await turn(app, opened, sent, body)
          : await own.take(opened, body);
      return show(await own.anew(opened), reply, answered);
    }),
  );

  server.get(
    `${OWN}/app.webmanifest`,
    own.behind(async ({ state, person, path, locale }, _body, reply) =>
      reply
        .type('application/manifest+json')
        .send(manifestOf(wordsOf(person, locale), state.name, `${path}/push`)),
    ),
  );
}

/** Turns push on or off for whoever sent the form. */
export function turn(
  app: App,
  who: ByPage,
  sent: Sent,
  body: unknown,
  byLink = false,
): Promise<Reply> {
  return doneByPage(who, sent.once, async (call) => {
    if (sent.press.path === PUSH_OFF) return turnPushOff(app, call, who.person);
    const given = readSubscription(app, (body ?? {}) as Record<string, unknown>);
    if (given === undefined) {
      return {
        refused: true,
        lines: [wordsOf(who.person, who.locale).say('push.unusable')],
      };
    }
    return turnPushOn(app, call, who.person, { ...given, byLink });
  });
}

/** Lets our two scripts run on this page, and on no other. */
export function allowPush(reply: FastifyReply): FastifyReply {
  return reply.header('content-security-policy', PUSH_POLICY);
}

function pushPage(
  w: Words,
  { state, person, path }: Opened,
  form: FormContext,
  push: PushDoor,
  answered: Reply | undefined,
): string {
  const here = { ...form, path: `${path}/push` };
  const on = state.watch.devices.filter((d) => d.person === person.id).length;
  return documentOf({
    w,
    title: w.text('push.title'),
    head: manifestLink(`${path}/push`),
    body: html`<h1>${w.text('push.title')}</h1>
${answered && html`<section class="alarm" role="status">${linesHtml([...answered.lines, ...(answered.after ?? [])])}</section>`}
<p>${toldBy(w, state, person)}</p>
${
  on === 0
    ? undefined
    : html`<p>${w.text('push.on', { n: on })}</p>
${formOf(here, { label: w.text('push.try'), press: { path: 'checkin drill', options: { who: person.id } } })}`
}
<section><h2>${w.text(on === 0 ? 'push.turnOn' : 'push.inThis')}</h2>
${pushBox(w, here, push, w.text(on === 0 ? 'push.tell' : 'push.tellToo'))}</section>
${on === 0 ? undefined : formOf(here, { label: w.text('push.turnOff'), press: { path: PUSH_OFF, options: {} } })}
<p><a href="${path}">${w.text('push.back')}</a></p>`,
    note: html`<p>${w.text('page.yoursOnly')}</p>`,
  });
}
