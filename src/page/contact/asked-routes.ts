import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { everyWay, saidBy, type WayTo } from '../../alarm/consent.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import {
  answerButton,
  answerLines,
  lastResortMessage,
  roleLines,
} from '../../alarm/words/contact.ts';
import { wordsOf } from '../../alarm/words/home.ts';
import { forReader } from '../../alarm/words/reader.ts';
import type { App } from '../../app/app.ts';
import { dispatch } from '../../app/dispatch.ts';
import { sameSeal } from '../../app/page/seals.ts';
import { pageUser } from '../../record/membership.ts';
import type { Button, Reply } from '../../say/reply.ts';
import type { TripRow } from '../../store/port.ts';
import type { Person } from '../../trip/people.ts';
import { present, type TripState } from '../../trip/state.ts';
import { BY_LINK } from '../../trip/ways.ts';
import { manifestLink, manifestOf, PUSH_ON, pushBox } from '../push/push-box.ts';
import { allowPush, turn } from '../push/push-routes.ts';
import { NO_PUSH } from '../push/words.ts';
import { documentOf, gonePage } from '../server/document.ts';
import { type Html, html } from '../server/html.ts';
import type { PageLinks } from '../server/links.ts';
import { privately } from '../server/privately.ts';
import { formOf, readForm, type Sent } from './form.ts';
import { lineHtml, linesHtml } from './line.ts';

type Asked = FastifyRequest<{ Params: { trip: string; token: string } }>;

interface Opened {
  row: TripRow;
  state: TripState;
  person: Person;
  way: WayTo;
  path: string;
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
    (request: Asked, reply: FastifyReply) =>
      privately(reply, async () => {
        const { trip, token } = request.params;
        const row = await app.store.trip(trip);
        if (row?.status !== 'open') return reply.code(404).send(gonePage());
        const { state } = await app.records.read(row);
        const way = everyWay(state).find((w) => sameSeal(token, app.invitations.token(trip, w)));
        const person = present(state).find((p) => p.id === way?.person);
        if (way === undefined || person?.roles.includes('contact') !== true) {
          return reply.code(404).send(gonePage());
        }
        if (way.to === BY_LINK) allowPush(reply);
        return await show({ row, state, person, way, path: `/a/${trip}/${token}` }, request, reply);
      });

  const act = (opened: Opened, options: Record<string, string | boolean>, id: string) =>
    dispatch(
      app,
      {
        id,
        atMs: app.clock.wallMs(),
        actor: { id: pageUser(opened.person), name: opened.person.name },
        where: { channel: opened.row.channel, direct: true },
        trip: opened.row.id,
      },
      'checkin contact',
      { ...options, code: app.invitations.code(opened.row.id, opened.way) },
    );

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
    // Who was handed a link is told by push alone, so a yes is to turn it on.
    const byLink =
      opened.way.to !== BY_LINK
        ? undefined
        : app.push === undefined
          ? html`<p>${NO_PUSH}</p>`
          : pushBox(context, app.push, 'Yes, tell me on this device');
    return askedPage({ ...opened, own, nowMs: app.clock.wallMs(), form, reply, byLink });
  }

  server.get(
    '/a/:trip/:token',
    behind(async (opened, _request, reply) => reply.send(await pageOf(opened))),
  );

  server.get(
    '/a/:trip/:token/app.webmanifest',
    behind(async ({ state, path }, _request, reply) =>
      reply.type('application/manifest+json').send(manifestOf(state.name, path)),
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
          await pageOf(opened, { lines: ['This was not understood, and nothing was done.'] }),
        );
      }
      if (sent.press.path === PUSH_ON && way.to === BY_LINK) {
        const nowMs = app.clock.wallMs();
        const done = await turn(app, { row, person, nowMs }, sent as Sent, body, true);
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
      const done = await act(opened, options, `page:${sent.once}`);
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
  /** Their own page, once they are contact. */
  own: string;
  nowMs: number;
  form(button: Button): Html;
  reply: Reply | undefined;
  /** Instead of a plain yes. */
  byLink: Html | undefined;
}

function askedPage(page: AskedPage): string {
  const { state, person, reply } = page;
  const said = saidBy(state, page.way);
  return documentOf({
    title: 'Contact at home',
    ...(page.byLink === undefined ? {} : { head: manifestLink(page.path) }),
    body: html`<h1>${person.name}: contact at home?</h1>
${
  reply &&
  html`<section class="alarm" role="status">${linesHtml([...reply.lines, ...(reply.after ?? [])])}
${(reply.buttons ?? []).map(page.form)}</section>`
}
${said === 'yes' ? agreed(page) : said === 'no' ? refused(page) : open(page)}`,
    note: html`<p>This page is yours alone. Don’t pass the link on.</p>`,
  });
}

function agreed({ state, own, form, reply }: AskedPage): Html {
  return html`<section><p>You are contact for ${state.name}: you are told when they are not heard from in time.</p>
<p><a class="act" href="${own}">To your own page</a></p>
${reply === undefined || reply.refused !== true ? form(answerButton('no', 'Leave')) : undefined}</section>`;
}

function refused({ state, form, reply, byLink }: AskedPage): Html {
  return html`<section><p>You said no to being contact for ${state.name}. You are told nothing.</p>
${byLink ?? (reply?.buttons === undefined ? form(answerButton('yes', 'Yes after all')) : undefined)}</section>`;
}

function open({ state, person, nowMs, form, byLink }: AskedPage): Html {
  const h = { w: wordsOf(person), state, nowMs };
  const raised = phaseNow(state);
  const told = raised?.phase === 'distress' && reached(state).has(person.id) ? raised : undefined;
  const lines =
    told === undefined
      ? roleLines(state, h.w)
      : forReader(h, person, lastResortMessage(h, told, person.id)).lines;
  return html`<section>${linesHtml(lines)}
${byLink ?? form(answerButton('yes', 'Yes, I will'))}
${form(answerButton('no', 'No'))}
${told === undefined ? (byLink === undefined ? answerLines(h.w) : [h.w.say('invite.byLink')]).map((line) => html`<p class="quiet">${lineHtml(line)}</p>`) : undefined}</section>`;
}
