import type { FastifyInstance } from 'fastify';
import { wordsOf } from '../../alarm/words/home.ts';
import { ordered, orderWays } from '../../app/order-ways.ts';
import type { Reply } from '../../say/reply.ts';
import { toldBy } from '../push/words.ts';
import { documentOf } from '../server/document.ts';
import { html } from '../server/html.ts';
import { doneByPage } from './by-page.ts';
import { type Field, type FormContext, formOf, type Sent } from './form.ts';
import { linesHtml } from './line.ts';
import type { Opened, OwnRoutes } from './own.ts';

/** The path that the form carries; no command has such a one. */
const ORDER = 'ways order';
const OWN = '/c/:trip/:person/:token/ways';
const BODY_MAX = 8192;

/** Where a contact says which of their ways goes first, and which is kept for later. */
export function waysRoutes(server: FastifyInstance, own: OwnRoutes): void {
  server.get(
    OWN,
    own.behind(async (opened, _body, reply) => reply.send(waysPage(opened, own.form(opened)))),
  );

  server.post(
    OWN,
    { bodyLimit: BODY_MAX },
    own.behind(async (opened, body, reply) => {
      const sent = own.read(opened, body);
      const answered =
        sent?.press.path === ORDER ? await order(own, opened, sent) : await own.take(opened, body);
      return reply.send(waysPage(await own.anew(opened), own.form(opened), answered));
    }),
  );
}

function order({ app }: OwnRoutes, opened: Opened, { press, once }: Sent): Promise<Reply> {
  return doneByPage(opened, once, (call) => orderWays(app, call, opened.person, press.options));
}

function waysPage(
  { state, person, path, locale }: Opened,
  form: FormContext,
  answered?: Reply,
): string {
  const w = wordsOf(person, locale);
  const ways = ordered(state, person);
  const title = w.text('page.toWays');
  const steps = [
    { value: 'always', label: w.text('ways.always') },
    { value: 'alert', label: w.text('ways.alert') },
    { value: 'distress', label: w.text('ways.distress') },
  ];
  const fields = ways.flatMap((way, i): Field[] => {
    const name = { way: w.text(`way.${way}`) };
    const places = ways.map((_, n) => ({ value: `${n + 1}`, label: `${n + 1}` }));
    return [
      {
        name: `place.${way}`,
        label: w.text('ways.place', name),
        value: `${i + 1}`,
        choices: places,
      },
      {
        name: `from.${way}`,
        label: w.text('ways.from', name),
        value: person.from?.[way] ?? 'always',
        choices: steps,
      },
    ];
  });
  return documentOf({
    w,
    title,
    body: html`<h1>${title}</h1>
${answered && html`<section class="alarm" role="status">${linesHtml(answered.lines)}</section>`}
<p>${toldBy(w, state, person)}</p>
<p>${w.text('ways.about')}</p>
${formOf({ ...form, path: `${path}/ways` }, { label: w.text('ways.save'), press: { path: ORDER, options: {} } }, fields)}
<p><a href="${path}">${w.text('push.back')}</a></p>`,
    note: html`<p>${w.text('page.yoursOnly')}</p>`,
  });
}
