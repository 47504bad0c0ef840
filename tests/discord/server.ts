import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import type { Core } from './core.ts';
import { ApiError, refusal } from './errors.ts';
import type { Fault } from './faults.ts';
import type { Happening } from './journal.ts';
import { unauthorised } from './permissions.ts';
import { readBody } from './rest/body.ts';
import { serveFile } from './rest/cdn.ts';
import { type Reply, rateLimited, reply } from './rest/reply.ts';
import type { ApiRequest } from './rest/request.ts';
import { type Match, matchRoute } from './rest/router.ts';

const API = '/api/v10';

/** REST v10 on loopback. Resolves when it listens. */
export async function listen(core: Core, port: number): Promise<Server> {
  const server = createServer((incoming, outgoing) => {
    serve(core, incoming, outgoing).catch((error: unknown) => {
      // The bot went away in the middle of its request, as when it is killed.
      if (!incoming.complete) return;
      core.bugs.push(error);
      outgoing.writeHead(500, { 'content-type': 'text/plain' });
      outgoing.end(error instanceof Error ? error.stack : String(error));
    });
  });
  core.gateway.attach(server);
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject).listen(port, '127.0.0.1', resolve);
  });
  core.origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  core.gateway.origin = core.origin;
  return server;
}

async function serve(
  core: Core,
  incoming: IncomingMessage,
  outgoing: ServerResponse,
): Promise<void> {
  const url = new URL(incoming.url ?? '/', core.origin);
  if (url.pathname.startsWith('/cdn/')) return serveFile(core, url, outgoing);
  const method = incoming.method ?? 'GET';
  const match = url.pathname.startsWith(`${API}/`)
    ? matchRoute(method, url.pathname.slice(API.length))
    : undefined;
  const { request, problem } = await readRequest(incoming, url, match);
  await core.settings.latency?.();
  const fault = core.faults.take(request);
  const answer = problem ?? outcome(core, request, match, fault);
  noteRequest(core, request, answer, fault);
  if (fault?.what === 'hang') return;
  if (fault?.what === 'reset') incoming.socket.resetAndDestroy();
  else reply(outgoing, answer);
}

async function readRequest(
  incoming: IncomingMessage,
  url: URL,
  match: Match | undefined,
): Promise<{ request: ApiRequest; problem?: Reply }> {
  const request: ApiRequest = {
    method: incoming.method ?? 'GET',
    route: match?.route.route ?? `${incoming.method} ?`,
    path: url.pathname,
    params: match?.params ?? {},
    query: url.searchParams,
    headers: incoming.headers,
    json: undefined,
    files: [],
  };
  try {
    return { request: { ...request, ...(await readBody(incoming)) } };
  } catch (error) {
    return { request, problem: refused(error) };
  }
}

/** What comes of a request: a fault in its way, a check it fails, or the answer of its handler. */
function outcome(
  core: Core,
  request: ApiRequest,
  match: Match | undefined,
  fault: Fault | undefined,
): Reply {
  if (fault?.what === 'rate-limited') return rateLimited(fault.retryAfterS, fault.scope ?? 'user');
  if (fault?.what === 'code') {
    const { status, code, message = 'A fault of the test' } = fault;
    return { status, body: { message, code } };
  }
  if (fault !== undefined && fault.accepted !== true) return failed(fault);
  const answer = handled(core, request, match);
  return fault?.what === 'status' ? failed(fault) : answer;
}

/** Never sent for a hang or a reset; it stands in the journal. */
function failed(fault: Fault): Reply {
  return { status: fault.what === 'status' ? fault.status : 0 };
}

function handled(core: Core, request: ApiRequest, match: Match | undefined): Reply {
  try {
    check(core, request, match);
    if (match === undefined) throw new ApiError(404, 0, '404: Not Found');
    if (match.route.open !== true) {
      const waitS = core.rate.take();
      if (waitS !== undefined) return rateLimited(waitS, 'global');
    }
    return match.route.handle(core, request);
  } catch (error) {
    return refused(error);
  }
}

/** reference.mdx: API Versioning, Authentication, User Agent. */
function check(core: Core, request: ApiRequest, match: Match | undefined): void {
  if (!request.path.startsWith(`${API}/`)) {
    throw request.path.startsWith('/api/v')
      ? refusal(50041)
      : new ApiError(404, 0, '404: Not Found');
  }
  if (!/^DiscordBot \(\S+, \S+\)/u.test(request.headers['user-agent'] ?? '')) throw refusal(40333);
  const authorised = request.headers.authorization === `Bot ${core.settings.token}`;
  if (match?.route.open !== true && !authorised) throw unauthorised();
  for (const key of request.query.keys()) {
    if (match !== undefined && match.route.query?.includes(key) !== true) throw refusal(50035);
  }
}

function refused(error: unknown): Reply {
  if (error instanceof ApiError) return { status: error.status, body: error.body() };
  throw error;
}

function noteRequest(
  core: Core,
  request: ApiRequest,
  answer: Reply,
  fault: Fault | undefined,
): void {
  const { method, route, path, json, params } = request;
  const body = answer.body as { code?: number; message?: string; errors?: object } | undefined;
  const failing = answer.status >= 400;
  const entry: Happening = {
    kind: 'request',
    method,
    route,
    path,
    status: answer.status,
    ...(json === undefined ? {} : { body: json }),
    ...(failing && body?.code !== undefined ? { code: body.code } : {}),
    ...(fault === undefined ? {} : { fault: true as const }),
    ...(fault?.what === 'hang' || fault?.what === 'reset' ? { lost: fault.what } : {}),
  };
  const interaction = core.world.byToken.get(params.token ?? '');
  // Only what Discord itself would have refused; a fault of the test says nothing about the bot.
  if (failing && fault === undefined) {
    interaction?.refusals.push({
      status: answer.status,
      code: body?.code ?? 0,
      message: body?.message ?? '',
      route,
      ...(body?.errors === undefined ? {} : { errors: body.errors }),
    });
  }
  core.journal.add(entry);
  for (const watcher of interaction?.watchers ?? []) watcher();
}
