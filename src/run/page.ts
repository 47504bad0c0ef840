import { randomBytes } from 'node:crypto';
import type { App } from '../app/app.ts';
import { createLinks } from '../page/server/links.ts';
import { type PageServer, startPageServer } from '../page/server/server.ts';

export interface PageRun {
  app: App;
  /** Where it is reached from outside; without it the page is for this machine only. */
  baseUrl?: string | undefined;
  host: string;
  port: number;
  /** Behind a proxy that sets X-Forwarded-For. */
  trustProxy?: boolean;
}

/** Starts the status page, and gives the bot the links to it. */
export async function startPage(run: PageRun): Promise<PageServer> {
  const { app, host, port, trustProxy = false } = run;
  let own = '';
  const links = createLinks({
    store: app.store,
    baseUrl: run.baseUrl ?? (() => own),
    token: () => randomBytes(20).toString('hex'),
  });
  const server = await startPageServer({ app, links, host, port, trustProxy });
  own = server.url;
  app.pages = links;
  return server;
}
