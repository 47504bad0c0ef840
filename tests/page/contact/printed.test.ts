/** A contact's pages on paper: some print what they have to read out, and a printer leaves coloured grounds away. */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PageServer } from '../../../src/page/server/server.ts';
import { seriousIn, visitor, widthOf } from '../look.ts';
import { launch, noChromium } from '../server/chromium.ts';
import { climbHalfway, goSilent, type OnPage, startPageServer } from '../server/trip-on-page.ts';
import { everyWayOn, ownPath } from './visitor.ts';

const why = noChromium();
/** ISO 216 A4 less the margins of 12 mm, at 96 pixels an inch (CSS Values 4, 6.2). */
const PAPER = { width: 703, height: 1032 };
const BESIDE = ['', '/push', '/ntfy', '/ways', '/sheet'];

describe.skipIf(why !== undefined)(
  `a contact’s pages on paper${why === undefined ? '' : `: ${why}`}`,
  () => {
    let browser: Browser;
    let on: OnPage;
    let server: PageServer;
    let own: string;

    beforeAll(async () => {
      [browser, on] = await Promise.all([launch(), everyWayOn()]);
      await climbHalfway(on);
      await on.w.say('mara', '/roster edit who:Mara phone:"+47 000 00 001"');
      await on.w.say('mara', '/trip edit emergency:"112, +47 70 00 00 00"');
      await on.w.say('mara', '[Change it]');
      await goSilent(on, true);
      server = await startPageServer(on.settings);
      own = server.url + (await ownPath(on.settings.links, on.trip, 'dana'));
    });
    afterAll(async () => {
      await browser?.close();
      await server?.close();
      await on?.close();
    });

    /** As it is printed by somebody whose phone is dark: no coloured ground (CSS Color Adjust 1, 3: `economy`). */
    async function printed(path: string, locale: string): Promise<Page> {
      const { page } = await visitor(browser, { locale, colorScheme: 'dark', viewport: PAPER });
      await page.goto(own + path);
      await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
      await page.evaluate(onWhite);
      return page;
    }

    it.each(BESIDE)(
      '%s: dark ink on white, nothing cut off, no button that paper cannot press',
      async (path) => {
        const page = await printed(path, 'en-GB');
        expect(await seriousIn(page)).toEqual([]);
        // White on white is no contrast that axe speaks of.
        expect(await page.evaluate(whitesThere)).toEqual([]);
        expect(await widthOf(page)).toBeLessThanOrEqual(PAPER.width);
        for (const button of await page.locator('button').all())
          expect(await button.isVisible()).toBe(false);
        await page.context().close();
      },
    );

    it('the numbers stand there in figures, and a German has the English words as well', async () => {
      const page = await printed('', 'de-DE');
      for (const words of ['112', '+47 70 00 00 00', 'Mein Name ist Dana', 'My name is Dana'])
        expect(await page.getByText(words).first().isVisible(), words).toBe(true);
      await page.context().close();
    });
  },
);

/** Runs in the page: words that are shown in white. */
function whitesThere(): string[] {
  const { document, getComputedStyle } = globalThis as unknown as {
    document: { querySelectorAll(what: string): Iterable<{ textContent: string }> };
    getComputedStyle(one: object): { color: string; display: string };
  };
  return [...document.querySelectorAll('main *, footer *')]
    .filter((one) => getComputedStyle(one).display !== 'none')
    .filter((one) => getComputedStyle(one).color === 'rgb(255, 255, 255)')
    .map((one) => one.textContent);
}

/** Runs in the page. */
function onWhite(): void {
  const { document } = globalThis as unknown as {
    document: {
      querySelectorAll(what: string): Iterable<{
        style: { setProperty(name: string, value: string, how: string): void };
      }>;
    };
  };
  for (const one of document.querySelectorAll('*'))
    one.style.setProperty('background-color', '#fff', 'important');
}
