import { createServer, type Server } from 'node:http';

export interface Listener {
  server: Server;
  /** Where it listens: `http://127.0.0.1:8080`. */
  url: string;
  /** Ends it with every connection that browsers keep open. May be called again. */
  close(): Promise<void>;
}

const NOT_YET = { 'content-type': 'text/plain; charset=utf-8', 'retry-after': '2' };

/**
 * Listens before there is anything to show, so that the links of the page are known beforehand.
 * Until the page is served (`serve`), visitors are asked to come again.
 *
 * @param port 0 takes any free one
 * @throws the system's error when it can't listen there
 */
export async function openListener(host: string, port: number): Promise<Listener> {
  const server = createServer({ requestTimeout: 15_000, keepAliveTimeout: 72_000 });
  server.on('request', (_request, response) => {
    if (server.listenerCount('request') > 1) return;
    response.writeHead(503, NOT_YET).end('The page is starting. Try again in a moment.\n');
  });
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
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}
