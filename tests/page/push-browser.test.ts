/** Push messages, and the pages beside them, in a real browser: turned on by its own script, shown by its own worker; and the page without either. */
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { pushKeys } from '../../src/delivery/push-keys.ts';
import type { PageServer } from '../../src/page/server/server.ts';
import { SECRET } from '../helpers/secret.ts';
import { keysOf, receiver } from '../push/reader.ts';
import { ownPath } from './contact/visitor.ts';
import { seriousIn, visitor, widthOf } from './look.ts';
import { launch, noChromium } from './server/chromium.ts';
import { type OnPage, onPage, startPageServer } from './server/trip-on-page.ts';

const why = noChromium();
const { publicKey } = pushKeys(SECRET);

/** Runs in the page before its own scripts: no push service can be reached here, so subscribing ends in the browser. */
function subscribed(keys: { p256dh: string; auth: string }) {
  const { PushManager, btoa } = globalThis as unknown as {
    PushManager: { prototype: Record<string, unknown> };
    btoa(text: string): string;
  };
  PushManager.prototype.getSubscription = async () => null;
  PushManager.prototype.subscribe = async (options: {
    userVisibleOnly: boolean;
    applicationServerKey: Uint8Array;
  }) => {
    const key = btoa(String.fromCharCode(...options.applicationServerKey))
      .replace(/\+/gu, '-')
      .replace(/\//gu, '_')
      .replace(/=/gu, '');
    return {
      toJSON: () => ({
        endpoint: `https://push.example.org/${options.userVisibleOnly}/${key}`,
        keys,
      }),
    };
  };
}

describe.skipIf(why !== undefined)(
  `push in a real browser${why === undefined ? '' : `: ${why}`}`,
  () => {
    let browser: Browser;
    let on: OnPage;
    let server: PageServer;
    let url: string;

    beforeAll(async () => {
      const push = { publicKey, takes: (to: string) => to.startsWith('https://push.') };
      [browser, on] = await Promise.all([
        launch(),
        onPage(undefined, { push, ntfy: { servers: ['https://ntfy.example.org'] } }),
      ]);
      server = await startPageServer(on.settings);
      url = `${server.url}${await ownPath(on.settings.links, on.trip, 'dana')}/push`;
    });
    afterAll(async () => {
      await browser?.close();
      await server?.close();
      await on?.close();
    });

    const visit = (look?: Parameters<typeof visitor>[1]) => visitor(browser, look);

    const seen = (page: Page, name: string) => page.locator(`[data-say="${name}"]`).isVisible();

    it.each(['light', 'dark'] as const)(
      '%s: fits 320 px, and axe finds nothing serious',
      async (colorScheme) => {
        const { context, page, complaints } = await visit({ colorScheme });
        for (const beside of ['push', 'ntfy', 'ways']) {
          await page.goto(url.replace(/push$/u, beside));
          expect(await widthOf(page)).toBeLessThanOrEqual(320);
          expect(complaints).toEqual([]);
          expect(await seriousIn(page)).toEqual([]);
        }
        await context.close();
      },
    );

    it('without JavaScript it says so, and has no button that does nothing', async () => {
      const { context, page } = await visit({ javaScriptEnabled: false });
      await page.goto(url);
      expect(await page.getByText('needs JavaScript').isVisible()).toBe(true);
      expect(await page.getByRole('button').count()).toBe(0);
      await context.close();
    });

    it('where the browser was told to let nothing through, it says how to mend that', async () => {
      const { context, page } = await visit();
      await page.addInitScript(() => {
        const { Notification } = globalThis as unknown as { Notification: object };
        Object.defineProperty(Notification, 'permission', { get: () => 'denied' });
      });
      await page.goto(url);
      expect(await seen(page, 'denied')).toBe(true);
      await context.close();
    });

    it('on an iPhone’s browser it says what has to be done first', async () => {
      const { context, page } = await visit({
        userAgent: 'Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X)',
      });
      await page.addInitScript(() => {
        delete (globalThis as { PushManager?: unknown }).PushManager;
      });
      await page.goto(url);
      expect(await seen(page, 'apple')).toBe(true);
      expect(await page.getByRole('button').count()).toBe(0);
      await context.close();
    });

    it('is turned on with our key, and what comes in is shown and leads to the page', async () => {
      const { context, page, complaints } = await visit();
      await context.grantPermissions(['notifications'], { origin: server.url });
      await page.addInitScript(subscribed, keysOf(receiver()));
      await page.goto(url);
      await Promise.all([
        page.waitForURL(url, { waitUntil: 'load' }),
        page.waitForResponse((r) => r.request().method() === 'POST'),
        page.getByRole('button', { name: 'Tell me on this device' }).click(),
      ]);
      await page.getByText('Push messages are on in this browser.').waitFor();
      const { watch } = (await on.w.trip()).state;
      expect(watch.devices.map((d) => d.endpoint)).toEqual([
        `https://push.example.org/true/${publicKey}`,
      ]);
      expect(complaints).toEqual([]);
      const told = {
        title: 'Harrow Tower: call 112 now',
        body: 'Not down.',
        tag: 'n1',
        url,
        stays: true,
      };
      await deliver(context, page, server.url, JSON.stringify(told));
      expect(await page.evaluate(shownThere)).toEqual([
        { title: told.title, body: told.body, tag: 'n1', stays: true, url },
      ]);
      // What can't be read is said to be something, and nothing breaks.
      await deliver(context, page, server.url, 'not JSON');
      expect(await page.evaluate(shownThere)).toContainEqual({
        title: 'A message about a climb',
        body: 'Open your page to see what it is.',
        tag: '',
        stays: false,
        url: undefined,
      });
      await context.close();
    });
  },
);

/** Hands a push message to the worker as the browser does when one comes in (Chrome DevTools Protocol). */
async function deliver(context: BrowserContext, page: Page, origin: string, data: string) {
  const session = await context.newCDPSession(page);
  const registration = new Promise<string>((found) => {
    session.on('ServiceWorker.workerRegistrationUpdated', ({ registrations }) => {
      const [one] = registrations;
      if (one !== undefined) found(one.registrationId);
    });
  });
  await session.send('ServiceWorker.enable');
  const registrationId = await registration;
  const before = await page.evaluate(countThere);
  await session.send('ServiceWorker.deliverPushMessage', { origin, registrationId, data });
  // However long it takes: the machine may be busy.
  while ((await page.evaluate(countThere)) === before);
  await session.detach();
}

interface There {
  navigator: {
    serviceWorker: {
      ready: Promise<{
        getNotifications(): Promise<
          {
            title: string;
            body: string;
            tag: string;
            requireInteraction: boolean;
            data: { url?: string };
          }[]
        >;
      }>;
    };
  };
}

async function countThere(): Promise<number> {
  const { navigator } = globalThis as unknown as There;
  return (await (await navigator.serviceWorker.ready).getNotifications()).length;
}

async function shownThere() {
  const { navigator } = globalThis as unknown as There;
  const all = await (await navigator.serviceWorker.ready).getNotifications();
  return all.map((n) => ({
    title: n.title,
    body: n.body,
    tag: n.tag,
    stays: n.requireInteraction,
    url: n.data.url,
  }));
}
