/** The family's page in a real browser: small, dark, and without JavaScript. */
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PageServer } from '../../src/page/server/server.ts';
import { text } from '../helpers/world.ts';
import { seriousIn, visitor, widthOf } from './look.ts';
import { launch, noChromium } from './server/chromium.ts';
import {
  climbHalfway,
  goSilent,
  type OnPage,
  onPage,
  startPageServer,
} from './server/trip-on-page.ts';

const why = noChromium();

describe.skipIf(why !== undefined)(
  `the family’s page in a real browser${why === undefined ? '' : `: ${why}`}`,
  () => {
    let browser: Browser;
    const trips: { on: OnPage; server: PageServer; url: string }[] = [];

    beforeAll(async () => {
      browser = await launch();
      for (const late of [false, true]) {
        const on = await onPage();
        await climbHalfway(on);
        if (late) await goSilent(on, true);
        const reply = text(await on.w.say('mara', '/overdue link family:yes'));
        const server = await startPageServer(on.settings);
        const path = new URL(/https:\S+/u.exec(reply)?.[0] ?? '').pathname;
        trips.push({ on, server, url: server.url + path });
      }
    });
    afterAll(async () => {
      await browser?.close();
      for (const { server, on } of trips) {
        await server.close();
        await on.close();
      }
    });

    it.each([
      ['light', 0],
      ['dark', 0],
      ['light', 1],
      ['dark', 1],
    ] as const)(
      '%s, trip %i: fits 320 px, and axe finds nothing serious',
      async (colorScheme, n) => {
        const { context, page, complaints } = await visitor(browser, { colorScheme });
        await page.goto(trips[n]?.url ?? '');
        expect(await widthOf(page)).toBeLessThanOrEqual(320);
        expect(complaints).toEqual([]);
        expect(await seriousIn(page)).toEqual([]);
        await context.close();
      },
    );

    it('takes the reader’s own clock without JavaScript, by keyboard alone', async () => {
      const { context, page } = await visitor(browser, { javaScriptEnabled: false });
      await page.goto(trips[0]?.url ?? '');
      await page.getByLabel('See times by your own clock').fill('London');
      await Promise.all([page.waitForURL(/at=London/u), page.keyboard.press('Enter')]);
      expect(await page.getByText('13:32 with you (Europe/London)').isVisible()).toBe(true);
      expect(await page.getByLabel('See times by your own clock').inputValue()).toBe(
        'Europe/London',
      );
      await context.close();
    });
  },
);
