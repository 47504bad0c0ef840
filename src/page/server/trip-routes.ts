import { gunzipSync, gzipSync } from 'node:zlib';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { App } from '../../app/app.ts';
import { forecastBeside } from '../../app/forecast/run.ts';
import type { TripRow } from '../../store/port.ts';
import { isOver } from '../../trip/mode.ts';
import { gonePage } from './document.ts';
import type { PageLinks } from './links.ts';
import { privately } from './privately.ts';
import { recordOpening } from './record-opening.ts';
import { sheetPage, sheetQuestion } from './sheet-page.ts';
import { REFRESH_S, statusPage } from './status-page.ts';

interface Parts {
  app: App;
  links: PageLinks;
}

type Linked = FastifyRequest<{
  Params: { trip: string; token: string };
  Querystring: { still?: string };
}>;

/** Pages by trip, newest entry, minute and form: many readers at once cost as much as one. */
const KEPT = 50;
const MINUTE = 60_000;

/** The page behind a link, the question before the sheet, and the sheet. */
export function tripRoutes(server: FastifyInstance, { app, links }: Parts): void {
  const kept = new Map<string, Promise<Buffer>>();

  const behind =
    (
      show: (request: Linked, reply: FastifyReply, row: TripRow, path: string) => Promise<unknown>,
    ) =>
    (request: Linked, reply: FastifyReply) =>
      privately(reply, async () => {
        const { trip, token } = request.params;
        const row = (await links.opens(trip, token, app.clock.wallMs()))
          ? await app.store.trip(trip)
          : undefined;
        if (row === undefined) return reply.code(404).send(gonePage());
        return await show(request, reply, row, `/t/${trip}/${token}`);
      });

  server.get(
    '/t/:trip/:token',
    behind(async (request, reply, row, path) => {
      const nowMs = app.clock.wallMs();
      const still = request.query.still !== undefined;
      const key = `${path} ${row.seq} ${Math.floor(nowMs / MINUTE)} ${still} ${app.deafSinceMs()}`;
      const page = kept.get(key) ?? make(row, path, nowMs, still);
      kept.set(key, page);
      // A failed one isn't kept: the next reader tries anew.
      page.catch(() => kept.delete(key));
      for (const old of kept.keys()) {
        if (kept.size <= KEPT) break;
        kept.delete(old);
      }
      // A header, not a tag: it can be left out for who asked the page to stand still (WCAG 2.2.1).
      if (!still) reply.header('refresh', String(REFRESH_S));
      return send(request, reply, await page);
    }),
  );

  async function make(row: TripRow, path: string, nowMs: number, still: boolean): Promise<Buffer> {
    const { state } = await app.records.read(row);
    const over = isOver(state);
    const forecast = over ? undefined : await forecastBeside(app, state, nowMs);
    return gzipSync(
      statusPage({ state, forecast, nowMs, path, still, deafSinceMs: app.deafSinceMs() }),
    );
  }

  server.get(
    '/t/:trip/:token/sheet',
    behind(async (_request, reply, row, path) => {
      const { state } = await app.records.read(row);
      return reply.send(sheetQuestion(state, path));
    }),
  );

  server.post(
    '/t/:trip/:token/sheet',
    behind(async (_request, reply, row, path) => {
      const nowMs = app.clock.wallMs();
      const state = await recordOpening(app, row.id, nowMs);
      if (state === undefined) return reply.code(404).send(gonePage());
      return reply.send(sheetPage(state, nowMs, path));
    }),
  );
}

async function send(request: FastifyRequest, reply: FastifyReply, packed: Buffer) {
  reply.header('vary', 'accept-encoding');
  if (/\bgzip\b/u.test(request.headers['accept-encoding'] ?? '')) {
    return reply.header('content-encoding', 'gzip').send(packed);
  }
  return reply.send(gunzipSync(packed));
}
