import type { FastifyInstance, FastifyRequest } from 'fastify';
import type { App } from '../../app/app.ts';
import { forecastBeside } from '../../app/forecast/run.ts';
import { accepted, hoursOf, languageOf } from '../../say/contact/languages.ts';
import { wordsIn } from '../../say/contact/words.ts';
import { findZone } from '../../time/find-zone.ts';
import { isOver } from '../../trip/mode.ts';
import { gonePage } from '../server/document.ts';
import type { PageLinks } from '../server/links.ts';
import { privately } from '../server/privately.ts';
import { REFRESH_S } from '../server/status-page.ts';
import { type FamilyPage, familyPage } from './family-page.ts';

type Linked = FastifyRequest<{
  Params: { trip: string; token: string };
  Querystring: { still?: unknown; at?: unknown; l?: unknown };
}>;

/** The page behind the family's link. */
export function familyRoutes(
  server: FastifyInstance,
  { app, links }: { app: App; links: PageLinks },
): void {
  server.get('/f/:trip/:token', (request: Linked, reply) => {
    const { l } = request.query;
    const picked = languageOf(typeof l === 'string' ? l : undefined);
    const locale = accepted(request.headers['accept-language']);
    const w = wordsIn(picked ?? languageOf(locale) ?? 'en');
    const show = async () => {
      const { trip, token } = request.params;
      const nowMs = app.clock.wallMs();
      const row = (await links.opens(trip, token, nowMs, 'family'))
        ? await app.store.trip(trip)
        : undefined;
      if (row === undefined) return reply.code(404).send(gonePage(w));
      const { state } = await app.records.read(row);
      const still = request.query.still !== undefined;
      const forecast = isOver(state) ? undefined : await forecastBeside(app, state, nowMs);
      if (!still) reply.header('refresh', String(REFRESH_S));
      const path = `/f/${trip}/${token}`;
      return reply.send(
        familyPage({
          state,
          forecast,
          nowMs,
          path,
          still,
          clock: clockOf(request.query.at),
          w,
          hours: hoursOf(picked === undefined || languageOf(locale) === picked ? locale : picked),
          picked: picked !== undefined,
        }),
      );
    };
    return privately(reply, show, w);
  });
}

/** The reader's own clock by what they typed. */
function clockOf(typed: unknown): FamilyPage['clock'] {
  if (typeof typed !== 'string' || typed.trim() === '') return undefined;
  const text = typed.trim().slice(0, 60);
  const found = findZone(text);
  return found.ok ? { zone: found.zone } : { unread: text, may: found.may };
}
