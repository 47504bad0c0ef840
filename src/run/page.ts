import { randomBytes } from 'node:crypto';
import type { App } from '../app/app.ts';
import { createLinks, type PageLinks } from '../page/server/links.ts';
import { type Listener, openListener } from '../page/server/listener.ts';
import type { PageServer } from '../page/server/server.ts';
import type { Store } from '../store/port.ts';

export interface PageRun {
  store: Store;
  /** Where it is reached from outside; without it the page is for this machine only. */
  baseUrl?: string | undefined;
  host: string;
  /** 0 takes any free port. */
  port: number;
  /** What contacts' own links are made of; see page-secret.ts. */
  secret: Uint8Array;
  /** Behind a proxy that sets X-Forwarded-For. */
  trustProxy?: boolean;
}

type Closable = Pick<PageServer, 'close'>;

/** The page's place and its links, before there is a bot to show. */
export interface OpenPage {
  links: PageLinks;
  url: string;
  /** Shows the trips of a bot from now on. */
  serve(app: App): Promise<Closable>;
  /** The same, but what it needs is loaded when somebody visits it. */
  serveWhenVisited(app: App): Closable;
  /** For a page that is never served. */
  close: Listener['close'];
}

/** @throws RangeError for a base address that can't be used; the system's error for a port that can't */
export async function openPage(run: PageRun): Promise<OpenPage> {
  const { store, host, port, secret, trustProxy = false } = run;
  const listener = await openListener(host, port);
  const token = () => randomBytes(20).toString('hex');
  try {
    const links = createLinks({ store, baseUrl: run.baseUrl ?? listener.url, token, secret });
    const serve = async (app: App): Promise<Closable> => {
      const { startPageServer } = await import('../page/server/server.ts');
      return startPageServer({ app, links, trustProxy }, listener);
    };
    return {
      links,
      url: listener.url,
      serve,
      serveWhenVisited(app) {
        let served: Promise<Closable> | undefined;
        listener.atFirstVisit(() => {
          served = serve(app);
          return served;
        });
        return { close: async () => (await (served ?? listener)).close() };
      },
      close: listener.close,
    };
  } catch (error) {
    await listener.close();
    throw error;
  }
}
