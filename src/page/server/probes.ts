import type { FastifyInstance } from 'fastify';

export interface Probes {
  /** For /healthz: whether all is well, and what to say about it. */
  health?(): Promise<{ ok: boolean; body: unknown }>;
  /** For /metrics: text in the exposition format, and its media type. */
  metrics?(): Promise<{ text: string; type: string }>;
}

/** What an operator's monitoring asks for; each only when there is something behind it. */
export function healthRoutes(server: FastifyInstance, probes: Probes): void {
  const { health, metrics } = probes;
  const unlimited = { config: { rateLimit: false } };
  if (health !== undefined) {
    server.get('/healthz', unlimited, async (_request, reply) => {
      const { ok, body } = await health();
      return reply
        .code(ok ? 200 : 503)
        .header('cache-control', 'no-store')
        .send(body);
    });
  }
  if (metrics !== undefined) {
    server.get('/metrics', unlimited, async (_request, reply) => {
      const { text, type } = await metrics();
      return reply.header('cache-control', 'no-store').type(type).send(text);
    });
  }
  server.get('/robots.txt', async (_request, reply) =>
    reply.type('text/plain').send('User-agent: *\nDisallow: /\n'),
  );
}
