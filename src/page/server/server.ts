import helmet from '@fastify/helmet';
import rateLimit from '@fastify/rate-limit';
import fastify, { type FastifyInstance, type FastifyServerOptions } from 'fastify';
import type { App } from '../../app/app.ts';
import { askedRoutes } from '../contact/asked-routes.ts';
import { contactRoutes } from '../contact/contact-routes.ts';
import { familyRoutes } from '../family/family-routes.ts';
import { scriptRoutes } from '../push/push-routes.ts';
import { gonePage, wordsPage } from './document.ts';
import { fontRoutes } from './fonts.ts';
import { securityHeaders } from './headers.ts';
import type { PageLinks } from './links.ts';
import type { Answering, Listener } from './listener.ts';
import { tripRoutes } from './trip-routes.ts';

export interface PageServerSettings {
  app: App;
  links: PageLinks;
  /** Behind one proxy that sets X-Forwarded-For; otherwise all its visitors count as one. */
  trustProxy?: boolean;
  /** Requests a minute and address; a page is three. */
  perMinute?: number;
}

export interface PageServer {
  /** Where it listens: `http://127.0.0.1:8080`. */
  url: string;
  /** Finishes what is under way. */
  close(): Promise<void>;
}

/** Serves the read-only status page and its sheet where `listener` listens. */
export async function startPageServer(
  settings: PageServerSettings,
  listener: Listener,
): Promise<PageServer> {
  let answer: Answering | undefined;
  const server = await buildPageServer(settings, {
    serverFactory: (by) => {
      answer = by;
      return listener.server;
    },
  });
  await server.ready();
  if (answer !== undefined) listener.answer(answer);
  return {
    url: listener.url,
    async close() {
      await server.close();
      await listener.close();
    },
  };
}

/** The same without listening, for tests that ask it directly. */
export async function buildPageServer(
  settings: PageServerSettings,
  how: Pick<FastifyServerOptions, 'serverFactory'> = {},
): Promise<FastifyInstance> {
  const { app } = settings;
  // No request log: addresses hold the secret of the link.
  const server = fastify({
    logger: false,
    // The nearest one only: what stands before its own entry was written by the visitor.
    trustProxy: (_address, hops) => settings.trustProxy === true && hops === 0,
    bodyLimit: 1024,
    // An address that can't be read is one that was never a link; the answer repeats nothing of it.
    rewriteUrl: ({ url = '/' }) => (readable(url) ? url : '/never-a-link'),
    ...how,
  });
  await server.register(helmet, securityHeaders);
  await server.register(rateLimit, {
    max: settings.perMinute ?? 90,
    timeWindow: 60_000,
    errorResponseBuilder: (_request, { after }) => new TooMany(after),
  });
  server.addContentTypeParser(
    'application/x-www-form-urlencoded',
    { parseAs: 'string' },
    (_request, body, done) => done(null, Object.fromEntries(new URLSearchParams(String(body)))),
  );
  // RFC 8058, 3.2: a mail program may send its one press this way too.
  server.addContentTypeParser(
    'multipart/form-data',
    { parseAs: 'string' },
    (_request, body, done) => done(null, oneClickOf(String(body))),
  );
  const page = 'text/html; charset=utf-8';
  server.setNotFoundHandler({ preHandler: server.rateLimit() }, (_request, reply) =>
    reply.code(404).header('cache-control', 'no-store').type(page).send(gonePage()),
  );
  server.setErrorHandler<Error & { statusCode?: number; code?: string }>(
    (error, request, reply) => {
      const status = error.statusCode ?? 500;
      // Who hangs up before they have asked in full is no fault of ours, and reads no answer.
      const hungUp = request.raw.destroyed || error.code === 'ECONNRESET';
      if (status >= 500 && !hungUp) app.log.error({ err: error }, 'page could not be made');
      const [title, words] =
        status === 429
          ? ([
              'Too many requests',
              `Try again in ${(error as TooMany).after ?? 'a minute'}.`,
            ] as const)
          : status < 500
            ? (['This was not understood', 'Go back and try once more.'] as const)
            : ([
                'The page could not be made just now',
                'Try again in a minute. It says nothing about the party.',
              ] as const);
      return reply
        .code(status)
        .header('cache-control', 'no-store')
        .type(page)
        .send(wordsPage(title, words));
    },
  );
  fontRoutes(server);
  server.get('/robots.txt', async (_request, reply) =>
    reply.type('text/plain').send('User-agent: *\nDisallow: /\n'),
  );
  tripRoutes(server, settings);
  familyRoutes(server, settings);
  if (app.push !== undefined) scriptRoutes(server);
  contactRoutes(server, settings);
  askedRoutes(server, settings);
  return server;
}

/** Of a form in parts (RFC 7578) the one field that anybody sends us. */
function oneClickOf(body: string): Record<string, string> {
  const found = /name="List-Unsubscribe"[^\r\n]*\r?\n\r?\nOne-Click\r?\n/u.test(body);
  return found ? { 'List-Unsubscribe': 'One-Click' } : {};
}

/** Whether every `%` of an address begins an escape of UTF-8 (RFC 3986, 2.1). */
function readable(url: string): boolean {
  try {
    decodeURIComponent(url);
    return true;
  } catch {
    return false;
  }
}

class TooMany extends Error {
  readonly statusCode = 429;
  readonly after: string;
  constructor(after: string) {
    super('too many requests');
    this.after = after;
  }
}
