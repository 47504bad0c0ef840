import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { everyWay, isUnconfirmed, saidBy, type WayTo } from '../../alarm/consent.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import {
  answerButton,
  answerLines,
  lastResortMessage,
  roleLines,
} from '../../alarm/words/contact.ts';
import { wordsOf } from '../../alarm/words/home.ts';
import { forReader } from '../../alarm/words/reader.ts';
import { topicLines } from '../../alarm/words/ways.ts';
import type { App } from '../../app/app.ts';
import { dispatch } from '../../app/dispatch.ts';
import { sameSeal } from '../../app/page/seals.ts';
import { accepted, languageOf } from '../../say/contact/languages.ts';
import { type Words, wordsIn } from '../../say/contact/words.ts';
import { bare } from '../../say/message.ts';
import type { Button, Reply } from '../../say/reply.ts';
import type { TripRow } from '../../store/port.ts';
import type { Person } from '../../trip/people.ts';
import { present, type TripState } from '../../trip/state.ts';
import { BY_LINK } from '../../trip/ways.ts';
import { NTFY_ON, ntfyBox } from '../ntfy/ntfy-box.ts';
import { turnTopic } from '../ntfy/ntfy-routes.ts';
import { manifestLink, manifestOf, PUSH_ON, pushBox } from '../push/push-box.ts';
import { allowPush, turn } from '../push/push-routes.ts';
import { documentOf, gonePage } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import type { PageLinks } from '../server/links.ts';
import { privately } from '../server/privately.ts';
import { callByPage } from './by-page.ts';
import { languages } from './contact-page.ts';
import { type FormContext, formOf, readForm, type Sent } from './form.ts';
import { lineHtml, linesHtml } from './line.ts';

type Asked = FastifyRequest<{
  Params: { trip: string; token: string };
  Querystring: { l?: string };
}>;

interface Opened {
  row: TripRow;
  state: TripState;
  person: Person;
  way: WayTo;
  path: string;
  /** The language that they came by a link for, or what their browser says that they read. */
  locale: string | undefined;
}

/** A form with its fields, or the two words of a mail program. */
const BODY_MAX = 8192;

/**
 * Where somebody says whether they want to be contact, and where they leave by one press. To open it changes
 * nothing: mail scanners open what they find.
 */
export function askedRoutes(
  server: FastifyInstance,
  { app, links }: { app: App; links: PageLinks },
): void {
  const behind =
    (show: (opened: Opened, request: Asked, reply: FastifyReply) => Promise<unknown>) =>
    (request: Asked, reply: FastifyReply) => {
      const { l } = request.query;
      const asked = languageOf(typeof l === 'string' ? l : undefined);
      const locale = asked ?? accepted(request.headers['accept-language']);
      const theirs = wordsIn(languageOf(locale) ?? 'en');
      const answer = async () => {
        const { trip, token } = request.params;
        const row = await app.store.trip(trip);
        if (row?.status !== 'open') return reply.code(404).send(gonePage(theirs));
        const { state } = await app.records.read(row);
        const way = everyWay(state).find((w) => sameSeal(token, app.invitations.token(trip, w)));
        const person = present(state).find((p) => p.id === way?.person);
        if (way === undefined || person?.roles.includes('contact') !== true) {
          return reply.code(404).send(gonePage(theirs));
        }
        const path = `/a/${trip}/${token}${asked === undefined ? '' : `?l=${asked}`}`;
        if (way.to === BY_LINK && way.way === 'push') allowPush(reply);
        return await show({ row, state, person, way, path, locale }, request, reply);
      };
      return privately(reply, answer, theirs);
    };

  const act = (opened: Opened, options: Record<string, string | boolean>, once: string) =>
    dispatch(app, callByPage({ ...opened, nowMs: app.clock.wallMs() }, once), 'checkin contact', {
      ...options,
      code: app.invitations.code(opened.row.id, opened.way),
    });

  async function pageOf(opened: Opened, reply?: Reply): Promise<string> {
    const own = await links.own(opened.row.id, opened.person.id);
    const context = {
      trip: opened.row.id,
      person: opened.way.to,
      path: opened.path,
      seen: 0,
      seals: links.seals,
      once: () => app.ids.event(),
    };
    const form = (button: Button) => formOf(context, button);
    const w = wordsOf(opened.person, opened.locale);
    // Who was handed a link has no other way, so a yes is to turn one on.
    const byLink =
      opened.way.to !== BY_LINK
        ? undefined
        : opened.way.way === 'ntfy'
          ? app.ntfy === undefined
            ? html`<p>${w.text('ntfy.gone')}</p>`
            : html`<p class="lead">${w.text('ntfy.byLink')}</p>
${ntfyBox(w, context, app.ntfy, opened.person.ntfy)}`
          : app.push === undefined
            ? html`<p>${w.text('push.gone')}</p>`
            : pushBox(w, context, app.push, w.text('push.yes'));
    return askedPage({
      ...opened,
      w,
      context,
      own,
      nowMs: app.clock.wallMs(),
      form,
      reply,
      byLink,
    });
  }

  server.get(
    '/a/:trip/:token',
    behind(async (opened, _request, reply) => reply.send(await pageOf(opened))),
  );

  server.get(
    '/a/:trip/:token/app.webmanifest',
    behind(async ({ state, person, path, locale }, _request, reply) =>
      reply
        .type('application/manifest+json')
        .send(manifestOf(wordsOf(person, locale), state.name, path)),
    ),
  );

  server.post(
    '/a/:trip/:token',
    { bodyLimit: BODY_MAX },
    behind(async (opened, request, reply) => {
      const body = (request.body ?? {}) as Record<string, unknown>;
      // RFC 8058, 3.2: a mail program's one press. No cookie, no question, no redirect.
      const oneClick = body['List-Unsubscribe'] === 'One-Click';
      const { row, person, way } = opened;
      const sent = oneClick
        ? { press: { path: '', options: { answer: 'no', unasked: true } }, once: app.ids.event() }
        : readForm({ trip: row.id, person: way.to, seals: links.seals }, body);
      if (sent === undefined) {
        return reply.send(
          await pageOf(opened, {
            lines: [wordsOf(person, opened.locale).say('page.notUnderstood')],
          }),
        );
      }
      const { path: wish } = sent.press;
      if ((wish === PUSH_ON || wish === NTFY_ON) && way.to === BY_LINK) {
        const who = { row, person, nowMs: app.clock.wallMs(), locale: opened.locale };
        const done =
          wish === PUSH_ON
            ? await turn(app, who, sent as Sent, body, true)
            : await turnTopic(app, who, sent as Sent);
        const after = (await app.records.read((await app.store.trip(row.id)) ?? row)).state;
        const now = present(after).find((p) => p.id === person.id) ?? person;
        return reply.send(await pageOf({ ...opened, state: after, person: now }, done));
      }
      const { answer, sure, unasked } = sent.press.options as Record<string, string | boolean>;
      const options = {
        ...(answer === undefined ? {} : { answer }),
        ...(sure === undefined ? {} : { sure }),
        ...(unasked === undefined ? {} : { unasked }),
      };
      const done = await act(opened, options, sent.once);
      const { state } = await app.records.read(row);
      const now = {
        ...opened,
        state,
        person: present(state).find((p) => p.id === person.id) ?? person,
      };
      return reply.send(await pageOf(now, done));
    }),
  );
}

interface AskedPage extends Opened {
  w: Words;
  context: FormContext;
  /** Their own page, once they are contact. */
  own: string;
  nowMs: number;
  form(button: Button): Html;
  reply: Reply | undefined;
  /** Instead of a plain yes. */
  byLink: Html | undefined;
}

function askedPage(page: AskedPage): string {
  const { w, state, person, reply } = page;
  const said = saidBy(state, page.way);
  // What they are asked stands on the page itself.
  const asks = new Set([...roleLines(state, w), ...answerLines(w)].map(bare));
  return documentOf({
    w,
    ...(page.byLink === undefined || page.way.way !== 'push'
      ? {}
      : { head: manifestLink(page.path) }),
    title: w.text('asked.title'),
    body: html`<h1>${isOwnTopic(state, person, page.way) && said === 'asked' ? w.text('ntfy.subject') : w.text('asked.head', { name: person.name })}</h1>
${
  reply &&
  html`<section class="alarm" role="status">${linesHtml(said === 'asked' ? reply.lines.filter((line) => !asks.has(bare(line))) : reply.lines)}
${(reply.buttons ?? []).filter((b) => !isAnswered(b, said)).map(page.form)}</section>`
}
${said === 'yes' ? agreed(page) : said === 'no' ? refused(page) : open(page)}
${languages(w, page.context)}`,
    note: html`<p>${w.text('page.yoursOnly')}</p>`,
  });
}

/** A button that the page has itself, as it stands unanswered. */
function isAnswered({ press: { options } }: Button, said: string): boolean {
  return said === 'asked' && 'answer' in options && !('sure' in options);
}

function agreed({ w, state, own, form, reply }: AskedPage): Html {
  return html`<section><p>${w.text('asked.agreed', { trip: state.name })}</p>
<p><a class="act" href="${own}">${w.text('asked.toPage')}</a></p>
${reply === undefined || reply.refused !== true ? form(answerButton('no', w.text('button.leave'))) : undefined}</section>`;
}

function refused({ w, state, person, form, reply, byLink }: AskedPage): Html {
  const said = isUnconfirmed(state, person)
    ? w.text('asked.refused', { trip: state.name })
    : w.text('asked.refusedHere');
  return html`<section><p>${said}</p>
${byLink ?? (reply?.buttons === undefined ? form(answerButton('yes', w.text('button.yesAfterAll'))) : undefined)}</section>`;
}

/** Whether somebody who is contact already is asked about a topic that they have named. */
function isOwnTopic(state: TripState, person: Person, { way }: WayTo): boolean {
  return way === 'ntfy' && !isUnconfirmed(state, person);
}

function open({ w, state, person, way, nowMs, form, byLink }: AskedPage): Html {
  const h = { w, state, nowMs };
  const raised = phaseNow(state);
  const told = raised?.phase === 'distress' && reached(state).has(person.id) ? raised : undefined;
  const isTopic = isOwnTopic(state, person, way);
  const lines =
    told === undefined
      ? isTopic
        ? topicLines(w)
        : roleLines(state, w)
      : forReader(h, person, lastResortMessage(h, told, person.id)).lines;
  return html`<section>${linesHtml(lines)}
${byLink ?? form(answerButton('yes', w.text('button.yes')))}
${form(answerButton('no', w.text('button.no')))}
${told === undefined && !isTopic ? (byLink === undefined ? answerLines(w) : [w.say('invite.byLink')]).map((line) => html`<p class="quiet">${lineHtml(line)}</p>`) : undefined}</section>`;
}
