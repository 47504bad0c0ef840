/**
 * An ntfy server on loopback for publishing alone. It holds each request to the published rules (ntfy, OpenAPI
 * description 2.0.0: `PublishMessage`, topic names, bearer tokens; docs.ntfy.sh/publish: JSON to the root, 4,096 bytes)
 * and answers 400 to what breaks one, as a real one may not.
 */
import { createServer, type IncomingHttpHeaders, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { z } from 'zod';

const published = z.strictObject({
  topic: z.string().regex(/^[-_A-Za-z0-9]{1,64}$/u),
  title: z.string().optional(),
  message: z
    .string()
    .refine((text) => Buffer.byteLength(text, 'utf8') <= 4096)
    .optional(),
  priority: z.int().min(1).max(5).optional(),
  tags: z.array(z.string()).optional(),
  click: z.url().optional(),
  icon: z.url().optional(),
  attach: z.url().optional(),
  filename: z.string().optional(),
  actions: z.array(z.unknown()).optional(),
  email: z.email().optional(),
  call: z.string().optional(),
  delay: z.string().optional(),
  cache: z.string().optional(),
  firebase: z.string().optional(),
  markdown: z.boolean().optional(),
});
export type Published = z.infer<typeof published>;

export interface NtfyServer {
  url: string;
  taken: { body: Published; headers: IncomingHttpHeaders }[];
  /** What broke a rule, and how. */
  wrong: string[];
  /** Answers the next ones that keep the rules; with the message until it is set. */
  answer(how: (response: ServerResponse) => void): void;
  close(): Promise<void>;
}

export async function ntfyServer(token?: string): Promise<NtfyServer> {
  const taken: NtfyServer['taken'] = [];
  const wrong: string[] = [];
  let answer: ((response: ServerResponse) => void) | undefined;
  const server = createServer((request, response) => {
    const parts: Buffer[] = [];
    request.on('data', (part: Buffer) => parts.push(part));
    request.on('end', () => {
      const { method, url, headers } = request;
      const refuse = (status: number, why: string) => {
        wrong.push(why);
        const error = { error: why, error_code: status * 100 + 1, message: why };
        response
          .writeHead(status, { 'content-type': 'application/json' })
          .end(JSON.stringify(error));
      };
      if (method !== 'POST' || url !== '/') return refuse(404, `${method} ${url}`);
      if (token !== undefined && headers.authorization !== `Bearer ${token}`)
        return refuse(401, 'token');
      const read = published.safeParse(JSON.parse(Buffer.concat(parts).toString('utf8')));
      if (!read.success) return refuse(400, read.error.message);
      taken.push({ body: read.data, headers });
      if (answer !== undefined) return answer(response);
      const message = { id: `m${taken.length}`, time: 1, event: 'message', ...read.data };
      response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify(message));
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return {
    url: `http://127.0.0.1:${(server.address() as AddressInfo).port}`,
    taken,
    wrong,
    answer(how) {
      answer = how;
    },
    close: () =>
      new Promise((done) => {
        server.closeAllConnections();
        server.close(() => done());
      }),
  };
}
