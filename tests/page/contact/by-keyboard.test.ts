/**
 * All of a contact's pages by the keyboard alone, without JavaScript, at 320 px in the dark: each thing that can be
 * pressed or filled in is reached by Tab and is seen to be (WCAG 2.2, 2.1.1, 2.4.3, 2.4.7), and works from there.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PageServer } from '../../../src/page/server/server.ts';
import { visitor, widthOf } from '../look.ts';
import { launch, noChromium } from '../server/chromium.ts';
import { climbHalfway, goSilent, type OnPage, startPageServer } from '../server/trip-on-page.ts';
import { everyWayOn, ownPath, stateOf, waysNow } from './visitor.ts';

const why = noChromium();

describe.skipIf(why !== undefined)(
  `a contact’s pages by keyboard alone${why === undefined ? '' : `: ${why}`}`,
  () => {
    let browser: Browser;
    let on: OnPage;
    let server: PageServer;
    let own: string;
    let page: Page;

    beforeAll(async () => {
      [browser, on] = await Promise.all([launch(), everyWayOn()]);
      await climbHalfway(on);
      await on.w.say('mara', '/roster edit who:Mara phone:"+47 000 00 001"');
      await goSilent(on);
      server = await startPageServer(on.settings);
      own = server.url + (await ownPath(on.settings.links, on.trip, 'dana'));
      ({ page } = await visitor(browser, { javaScriptEnabled: false, colorScheme: 'dark' }));
    });
    afterAll(async () => {
      await browser?.close();
      await server?.close();
      await on?.close();
    });

    const focused = () => page.locator(':focus');
    /** Goes on by Tab until what is focused has this name. */
    async function tabTo(role: 'button' | 'link' | 'textbox' | 'combobox', name: string) {
      const wanted = page.getByRole(role, { name, exact: true });
      for (let n = 0; n < 60; n++) {
        await page.keyboard.press('Tab');
        if (await wanted.and(focused()).count()) return;
      }
      throw new Error(`${role} ${name} is not reached by Tab`);
    }
    async function press(role: 'button' | 'link', name: string) {
      await tabTo(role, name);
      await Promise.all([page.waitForEvent('load'), page.keyboard.press('Enter')]);
    }
    const said = async () => {
      expect(await widthOf(page)).toBeLessThanOrEqual(320);
      return (await page.getByRole('status').textContent()) ?? '';
    };

    it.each(['', '/ntfy', '/ways', '/sheet'])(
      '%s: everything is reached in the order of the page, and is seen to be',
      async (path) => {
        await page.goto(own + path);
        const there = await page
          .locator('a[href], button, input:not([type=hidden]), select, summary')
          .all();
        for (const one of there) {
          await page.keyboard.press('Tab');
          const label = (await one.textContent()) || (await one.getAttribute('name'));
          expect(await one.and(focused()).count(), `${label}`).toBe(1);
          expect(await one.evaluate(outlineOf), `${label}`).not.toBe('none');
          const box = await one.boundingBox();
          expect((box?.width ?? 0) > 0 && (box?.x ?? -1) >= 0, `${label}`).toBe(true);
        }
        expect(there.length).toBeGreaterThan(1);
      },
    );

    it('takes the alarm in hand, and says by what clock they live', async () => {
      await page.goto(own);
      await press('button', "I've got it");
      expect(await said()).toContain('Noted.');
      expect((await stateOf(on)).watch.acks.at(-1)).toMatchObject({ person: 'dana' });
      await tabTo('textbox', 'See times by your own clock as well: a large city near you');
      await page.keyboard.type('New York');
      await Promise.all([page.waitForEvent('load'), page.keyboard.press('Enter')]);
      expect(await said()).toContain('Kept: your own time stands beside the wall’s');
      expect(await page.getByText('Sat 18:00 (12:00 yours)').first().isVisible()).toBe(true);
    });

    it('puts their ways in order', async () => {
      await page.goto(own);
      await press('link', 'Order and hours');
      await tabTo('combobox', 'direct message: when');
      await page.keyboard.press('End');
      await press('button', 'Keep it so');
      expect(await said()).toContain('Kept.');
      expect((await stateOf(on)).people.find((p) => p.id === 'dana')?.from).toEqual({
        dm: 'distress',
      });
      await press('link', 'Back to your page');
      expect(await page.getByRole('heading', { level: 1 }).textContent()).toContain('for Dana');
    });

    it('names a topic of ntfy', async () => {
      await page.goto(own);
      await press('link', 'Messages by ntfy');
      await tabTo('textbox', 'Your topic, or its whole address');
      await page.keyboard.press('Control+a');
      await page.keyboard.type('dana');
      await Promise.all([page.waitForEvent('load'), page.keyboard.press('Enter')]);
      expect(await said()).toContain('too short');
      await tabTo('textbox', 'Your topic, or its whole address');
      await page.keyboard.press('Control+a');
      await page.keyboard.type('dana-wall-phone-7');
      await press('button', 'Send a message there');
      expect(await said()).toContain('Open it in the app and say yes there.');
      expect(await waysNow(on, 'dana')).not.toContain('ntfy');
    });

    it('says what they heard: when, how, words', async () => {
      await page.goto(own);
      await tabTo('combobox', 'How you know');
      await page.keyboard.press('End');
      await page.keyboard.press('Tab');
      await page.keyboard.type('19:50');
      await page.keyboard.press('Tab');
      await page.keyboard.type('saw all three at the hut');
      await Promise.all([page.waitForEvent('load'), page.keyboard.press('Enter')]);
      expect(await said()).toContain('Noted: they are well, Sat 19:50 (13:50 yours).');
      expect((await stateOf(on)).watch.signs.at(-1)).toMatchObject({ by: { name: 'Dana' } });
    });
  },
);

/** Runs in the page. */
function outlineOf(one: unknown): string {
  const { getComputedStyle } = globalThis as unknown as {
    getComputedStyle(one: unknown): { outlineStyle: string };
  };
  return getComputedStyle(one).outlineStyle;
}
