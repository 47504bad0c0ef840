import type { FastifyInstance, FastifyReply, FastifyRequest, RouteHandlerMethod } from 'fastify';
import { calendarFile, calendarMethod } from '../../alarm/calendar.ts';
import { isUnconfirmed } from '../../alarm/consent.ts';
import { stillNeeded } from '../../alarm/keeping.ts';
import { hoursFor, wordsOf } from '../../alarm/words/home.ts';
import type { App } from '../../app/app.ts';
import { dispatch } from '../../app/dispatch.ts';
import { forecastBeside } from '../../app/forecast/run.ts';
import { keepClock } from '../../app/own-clock.ts';
import { NO_ORGANIZER } from '../../app/watch/parts.ts';
import { accepted, languageOf } from '../../say/contact/languages.ts';
import { wordsIn } from '../../say/contact/words.ts';
import { fileName } from '../../say/message.ts';
import type { Reply } from '../../say/reply.ts';
import { isOver } from '../../trip/mode.ts';
import { present } from '../../trip/state.ts';
import { ntfyRoutes } from '../ntfy/ntfy-routes.ts';
import { pushRoutes } from '../push/push-routes.ts';
import { gonePage } from '../server/document.ts';
import type { PageLinks } from '../server/links.ts';
import { privately } from '../server/privately.ts';
import { sheetPage, sheetQuestion } from '../server/sheet-page.ts';
import { callByPage, doneByPage } from './by-page.ts';
import { alarmSeen, CLOCK, contactPage, RELOAD_S } from './contact-page.ts';
import { type FormContext, readForm } from './form.ts';
import type { Opened, OwnRoutes } from './own.ts';
import { waysRoutes } from './ways-routes.ts';

type Asked = FastifyRequest<{ Params: { trip: string; person: string; token: string } }>;

/** After a trip is closed, or all are down and nothing stands, its contacts still read how it ended, for this long. */
const AFTERWARDS_MS = 7 * 86_400_000;
/** A form with its fields. */
const BODY_MAX = 8192;

/** A contact's own page, its forms, and the sheet behind a second step. */
export function contactRoutes(
  server: FastifyInstance,
  { app, links }: { app: App; links: PageLinks },
): void {
  const behind =
    (show: (opened: Opened, request: Asked, reply: FastifyReply) => Promise<unknown>) =>
    (request: Asked, reply: FastifyReply) => {
      const locale = accepted(request.headers['accept-language']);
      const theirs = wordsIn(languageOf(locale) ?? 'en');
      const gone = () => reply.code(404).send(gonePage(theirs));
      const answer = async () => {
        const { trip, person: id, token } = request.params;
        const path = `/c/${trip}/${id}/${token}`;
        const nowMs = app.clock.wallMs();
        const row = (await links.opensOwn(trip, id, token))
          ? await app.store.trip(trip)
          : undefined;
        if (row === undefined || row.status === 'purged') return gone();
        const { state } = await app.records.read(row);
        const person = present(state).find((p) => p.id === id && p.roles.includes('contact'));
        const overMs = state.closedAtMs ?? (stillNeeded(state) ? nowMs : state.downAtMs);
        const ended = (overMs ?? nowMs) < nowMs - AFTERWARDS_MS;
        const agreed = person !== undefined && !isUnconfirmed(state, person);
        if (!agreed || ended) return gone();
        return await show({ row, state, person, path, nowMs, locale }, request, reply);
      };
      return privately(reply, answer, theirs);
    };

  const formContext = ({ state, person, path }: Opened): FormContext => ({
    trip: state.id,
    person: person.id,
    path,
    seen: alarmSeen(state),
    seals: links.seals,
    once: () => app.ids.event(),
  });

  async function pageOf(opened: Opened, reply?: Reply): Promise<string> {
    const { state, person, nowMs } = opened;
    const over = isOver(state);
    const forecast = over ? undefined : await forecastBeside(app, state, nowMs);
    const now = present(state).find((p) => p.id === person.id) ?? person;
    return contactPage({
      w: wordsOf(now, opened.locale),
      state,
      person: now,
      forecast,
      nowMs,
      form: formContext(opened),
      deafSinceMs: app.deafSinceMs(),
      push: app.push !== undefined,
      ntfy: app.ntfy !== undefined,
      reply,
    });
  }

  async function take(opened: Opened, body: unknown): Promise<Reply> {
    const { row, state, person } = opened;
    const w = wordsOf(person, opened.locale);
    const sent = readForm({ trip: row.id, person: person.id, seals: links.seals }, body);
    if (sent === undefined) {
      return { lines: [w.say('page.notUnderstood')] };
    }
    if (sent.press.path === CLOCK) {
      const typed = String((sent.press.options as { at?: string }).at ?? '');
      return doneByPage(opened, sent.once, (call) => keepClock(app, call, person, { typed, w }));
    }
    const call = callByPage(opened, sent.once);
    if (sent.seen !== alarmSeen(state) && (await app.store.answered(call.id)) === undefined) {
      return { lines: [w.say('page.changed')] };
    }
    const answered = await dispatch(app, call, sent.press.path, sent.press.options);
    // Whoever filled in a form knows no options.
    return answered.code === 'unreadable-options'
      ? { ...answered, lines: [w.say('refused.unreadable-options')], after: [] }
      : answered;
  }

  server.get(
    '/c/:trip/:person/:token',
    behind(async (opened, _request, reply) => {
      reply.header('refresh', String(RELOAD_S));
      return reply.send(await pageOf(opened));
    }),
  );

  server.post(
    '/c/:trip/:person/:token',
    { bodyLimit: BODY_MAX },
    behind(async (opened, request, reply) => {
      const answered = await take(opened, request.body);
      const { state } = await app.records.read(opened.row);
      return reply.send(await pageOf({ ...opened, state }, answered));
    }),
  );

  const own: OwnRoutes = {
    app,
    behind: (show: (opened: Opened, body: unknown, reply: FastifyReply) => Promise<unknown>) =>
      behind((opened, { body }, reply) => show(opened, body, reply)) as RouteHandlerMethod,
    form: formContext,
    read: ({ row, person }, body) =>
      readForm({ trip: row.id, person: person.id, seals: links.seals }, body),
    take,
    async anew(opened) {
      const { state } = await app.records.read((await app.store.trip(opened.row.id)) ?? opened.row);
      const person = state.people.find((p) => p.id === opened.person.id) ?? opened.person;
      return { ...opened, state, person };
    },
  };
  if (app.push !== undefined) pushRoutes(server, own, app.push);
  if (app.ntfy !== undefined) ntfyRoutes(server, own, app.ntfy);
  waysRoutes(server, own);

  server.get(
    '/c/:trip/:person/:token/times.ics',
    behind(async ({ state, person, nowMs, locale }, _request, reply) => {
      const w = wordsOf(person, locale);
      const file = calendarFile(state, { w, nowMs, organizer: NO_ORGANIZER });
      if (file === undefined) return reply.code(404).send(gonePage(w));
      return reply
        .type(`text/calendar; charset=utf-8; method=${calendarMethod(state)}`)
        .header('content-disposition', `attachment; filename="${fileName(state.name)}.ics"`)
        .send(file);
    }),
  );

  server.get(
    '/c/:trip/:person/:token/sheet',
    behind(async ({ state, person, path, locale }, _request, reply) =>
      reply.send(sheetQuestion(state, path, wordsOf(person, locale))),
    ),
  );

  server.post(
    '/c/:trip/:person/:token/sheet',
    behind(async (opened, _request, reply) => {
      const { row, person, path, nowMs } = opened;
      const call = callByPage(opened, app.ids.event());
      // Read all the same where it can't be recorded: the trip may be closed by now.
      await dispatch(app, call, 'overdue sheet', {});
      const { state } = await app.records.read(row);
      const w = wordsOf(person, opened.locale);
      return reply.send(sheetPage(state, nowMs, path, { w, hours: hoursFor(state, person) }));
    }),
  );
}
