import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http';

export type Answering = (request: IncomingMessage, response: ServerResponse) => void;

export interface Listener {
  server: Server;
  /** Where it listens: `http://127.0.0.1:8080`. */
  url: string;
  /** Who answers visitors from now on. */
  answer(by: Answering): void;
  /**
   * The first visit starts what answers; that visitor, and who comes meanwhile, waits for it. Without
   * it, and when it fails, visitors are asked to come again.
   */
  atFirstVisit(start: () => Promise<unknown>): void;
  /** Ends it with every connection that browsers keep open. May be called again. */
  close(): Promise<void>;
}

const NOT_YET = { 'content-type': 'text/plain; charset=utf-8', 'retry-after': '2' };

/**
 * Listens before there is anything to show, so that the links of the page are known beforehand.
 * Until somebody answers, visitors are asked to come again.
 *
 * @param port 0 takes any free one
 * @param silentMs a request that isn't there in full after this is ended
 * @throws the system's error when it can't listen there
 */
export async function openListener(
  host: string,
  port: number,
  silentMs = 15_000,
): Promise<Listener> {
  const server = createServer({
    requestTimeout: silentMs,
    headersTimeout: silentMs,
    // How often connections that say nothing, or go on for ever, are looked for.
    connectionsCheckingInterval: silentMs / 3,
    keepAliveTimeout: 72_000,
  });
  // More than all contacts of many parties; each is a file handle that the watch may need.
  server.maxConnections = 500;
  server.maxRequestsPerSocket = 1000;
  // What isn't HTTP gets no answer in which it could find itself again.
  server.on('clientError', (_error, socket) => void socket.destroy());
  const later: Answering = (_request, response) =>
    void response.writeHead(503, NOT_YET).end('The page is starting. Try again in a moment.\n');
  let answer = later;
  server.on('request', (request, response) => answer(request, response));
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen({ host, port }, () => {
      server.off('error', reject);
      resolve();
    });
  });
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port to listen on');
  const at = address.family === 'IPv6' ? `[${address.address}]` : address.address;
  return {
    server,
    url: `http://${at}:${address.port}`,
    answer: (by) => {
      answer = by;
    },
    atFirstVisit: (start) => {
      let started: Promise<unknown> | undefined;
      const waiting: Answering = (request, response) => {
        started ??= start();
        const now = () => (answer === waiting ? later : answer)(request, response);
        started.then(now, () => later(request, response));
      };
      answer = waiting;
    },
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
