import fastify from 'fastify';
import type { HealthReport } from './health.ts';

export interface HealthServerParts {
  report(): Promise<HealthReport>;
  metrics: { text(): Promise<string>; contentType: string };
  host: string;
  port: number;
}

export interface HealthServer {
  port: number;
  close(): Promise<void>;
}

/** `/healthz` (503 when something is wrong) and `/metrics`, for whoever looks after the bot. */
export async function startHealthServer(parts: HealthServerParts): Promise<HealthServer> {
  const server = fastify({ logger: false, bodyLimit: 1024, requestTimeout: 10_000 });
  server.get('/healthz', async (_request, reply) => {
    const report = await parts.report();
    return reply
      .code(report.ok ? 200 : 503)
      .header('cache-control', 'no-store')
      .send(report);
  });
  server.get('/metrics', async (_request, reply) =>
    reply.type(parts.metrics.contentType).send(await parts.metrics.text()),
  );
  await server.listen({ host: parts.host, port: parts.port });
  const address = server.server.address();
  return {
    port: typeof address === 'object' && address !== null ? address.port : parts.port,
    close: () => server.close(),
  };
}
