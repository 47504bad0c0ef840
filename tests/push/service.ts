/** A push service on loopback: takes messages for browsers, and answers as it is told. */
import { createServer, type IncomingHttpHeaders, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

export interface Taken {
  path: string;
  headers: IncomingHttpHeaders;
  body: Buffer;
}

export interface PushService {
  url: string;
  taken: Taken[];
  /** Answers the next ones; 201 until it is set (RFC 8030, 5). */
  answer(how: (response: ServerResponse, path: string) => void): void;
  /** Resolves at the next message. */
  next(): Promise<void>;
  close(): Promise<void>;
}

export async function pushService(): Promise<PushService> {
  const taken: Taken[] = [];
  let answer: (response: ServerResponse, path: string) => void = (response) => {
    response.writeHead(201).end();
  };
  let waiting: (() => void)[] = [];
  const server = createServer((request, response) => {
    const parts: Buffer[] = [];
    request.on('data', (part: Buffer) => parts.push(part));
    request.on('end', () => {
      const path = request.url ?? '';
      taken.push({ path, headers: request.headers, body: Buffer.concat(parts) });
      for (const go of waiting) go();
      waiting = [];
      answer(response, path);
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    taken,
    answer(how) {
      answer = how;
    },
    next: () => new Promise((go) => waiting.push(go)),
    close: () =>
      new Promise((done) => {
        server.closeAllConnections();
        server.close(() => done());
      }),
  };
}
