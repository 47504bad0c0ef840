import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { PageServer } from '../../../src/page/server/server.ts';
import { launch, noChromium } from './chromium.ts';
import { climbHalfway, goSilent, type OnPage, onPage, startPageServer } from './trip-on-page.ts';

const why = noChromium();
const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Pages of a PDF: its page objects (ISO 32000-1, 7.7.3.3). */
function pagesOf(pdf: Buffer): number {
  return [...pdf.toString('latin1').matchAll(/\/Type\s*\/Page(?![a-zA-Z])/gu)].length;
}

/** Size of the first page in points, from its MediaBox. */
function sizeOf(pdf: Buffer): number[] {
  const box = /\/MediaBox\s*\[([^\]]+)\]/u.exec(pdf.toString('latin1'))?.[1] ?? '';
  return box.trim().split(/\s+/u).slice(2).map(Number);
}

interface Serious {
  id: string;
  impact: string;
  nodes: string[];
}

/**
 * What axe-core finds by WCAG 2.2 A and AA and its best practices, of impact serious or critical; by these of
 * its rules alone where they are named.
 */
async function seriousIn(page: Page, rules?: string[]): Promise<Serious[]> {
  // Put in by the test, not by the page, whose policy lets no script run.
  await page.evaluate(AXE);
  return page.evaluate(async (only) => {
    const { axe } = globalThis as unknown as {
      axe: {
        run(options: object): Promise<{
          violations: { id: string; impact: string; nodes: { html: string }[] }[];
        }>;
      };
    };
    const { violations } = await axe.run(only === undefined ? {} : { runOnly: only });
    return violations
      .filter((v) => v.impact === 'serious' || v.impact === 'critical')
      .map((v) => ({ id: v.id, impact: v.impact, nodes: v.nodes.map((n) => n.html) }));
  }, rules);
}

/** Runs in the page, when its typefaces have come. */
async function widthsThere() {
  const { document } = globalThis as unknown as {
    document: {
      fonts: { ready: Promise<unknown> };
      documentElement: { scrollWidth: number; clientWidth: number };
      querySelector(what: string): { getBoundingClientRect(): { width: number; left: number } };
    };
  };
  await document.fonts.ready;
  const { scrollWidth, clientWidth } = document.documentElement;
  const { width, left } = document.querySelector('figure svg').getBoundingClientRect();
  return { scrollWidth, clientWidth, picture: width, left };
}

/** Runs in the page: how much of it there is. */
function heightThere(): number {
  const { document } = globalThis as unknown as {
    document: { body: { getBoundingClientRect(): { height: number } } };
  };
  return document.body.getBoundingClientRect().height;
}

describe.skipIf(why !== undefined)(
  `in a real browser${why === undefined ? '' : `: ${why}`}`,
  () => {
    let browser: Browser;
    let quiet: OnPage;
    let alarmed: OnPage;
    const servers: PageServer[] = [];
    /** Address of the page of the party that climbs, and of the one that is overdue. */
    const urls: Record<string, string> = {};

    beforeAll(async () => {
      [browser, quiet, alarmed] = await Promise.all([launch(), onPage(), onPage()]);
      await climbHalfway(quiet);
      await climbHalfway(alarmed);
      await goSilent(alarmed);
      for (const [name, on] of [
        ['climbing', quiet],
        ['overdue', alarmed],
      ] as const) {
        const server = await startPageServer(on.settings);
        servers.push(server);
        urls[name] = server.url + on.path;
      }
    });
    afterAll(async () => {
      await browser?.close();
      for (const server of servers) await server.close();
      await quiet?.close();
      await alarmed?.close();
    });

    /** A fresh visitor; what the browser complains of ends up in `complaints`. */
    async function visit(
      url: string,
      look: { colorScheme?: 'light' | 'dark'; width?: number; javaScriptEnabled?: boolean } = {},
    ) {
      const { width = 360, ...rest } = look;
      const context = await browser.newContext({ viewport: { width, height: 740 }, ...rest });
      context.setDefaultTimeout(0);
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on('console', (message) => {
        if (message.type() === 'error' || message.type() === 'warning')
          complaints.push(message.text());
      });
      page.on('pageerror', (error) => complaints.push(error.message));
      page.on('requestfailed', (request) => complaints.push(request.url()));
      const bytes: Promise<number>[] = [];
      const hosts = new Set<string>();
      page.on('requestfinished', (request) => {
        hosts.add(new URL(request.url()).host);
        bytes.push(request.sizes().then((s) => s.responseBodySize + s.responseHeadersSize));
      });
      await page.goto(url, { waitUntil: 'load' });
      const weight = async () => (await Promise.all(bytes)).reduce((a, b) => a + b, 0);
      return { page, complaints, hosts, weight, close: () => context.close() };
    }

    it.each(['climbing', 'overdue'])(
      '%s: nothing serious by day and in the dark, no complaint, light, from here alone, no sideways scrolling',
      async (name) => {
        const url = urls[name] ?? '';
        const seen = await visit(url, { colorScheme: 'light', width: 320 });
        const widths = await seen.page.evaluate(widthsThere);
        expect(widths.scrollWidth).toBeLessThanOrEqual(widths.clientWidth);
        expect(widths.left).toBeGreaterThanOrEqual(0);
        expect(widths.picture).toBeGreaterThan(295);
        expect(await seen.weight()).toBeLessThan(100_000);
        expect([...seen.hosts]).toEqual([new URL(url).host]);
        expect(await seriousIn(seen.page)).toEqual([]);
        // The same page: in the dark only its colours are others.
        await seen.page.emulateMedia({ colorScheme: 'dark' });
        expect(await seriousIn(seen.page, ['color-contrast'])).toEqual([]);
        expect(seen.complaints).toEqual([]);
        await seen.close();
      },
    );

    it.each(['climbing', 'overdue'])(
      '%s: prints to one A4 page with room to spare',
      async (name) => {
        const seen = await visit(urls[name] ?? '');
        const pdf = await seen.page.pdf({ preferCSSPageSize: true });
        expect(pagesOf(pdf)).toBe(1);
        // ISO 216 A4 is 210 mm by 297 mm: 595.3 by 841.9 points.
        const [width = 0, height = 0] = sizeOf(pdf);
        expect(Math.abs(width - 595.3)).toBeLessThan(1.5);
        expect(Math.abs(height - 841.9)).toBeLessThan(1.5);
        // A4 less the margins of 12 mm, at 96 pixels an inch: a busier trip must still fit.
        await seen.page.emulateMedia({ media: 'print' });
        await seen.page.setViewportSize({ width: 703, height: 1032 });
        const used = await seen.page.evaluate(heightThere);
        expect(used).toBeLessThan(0.75 * 1032);
        await seen.close();
      },
    );

    /** In the dark on the narrowest phone: nothing serious, no complaint, no sideways scrolling. */
    async function holdsNarrowAndDark(url: string) {
      const seen = await visit(url, { colorScheme: 'dark', width: 320 });
      expect(await seriousIn(seen.page)).toEqual([]);
      expect(seen.complaints).toEqual([]);
      const { scrollWidth, clientWidth } = await seen.page.evaluate(() => {
        const { document } = globalThis as unknown as {
          document: { documentElement: { scrollWidth: number; clientWidth: number } };
        };
        const { scrollWidth: all, clientWidth: seenWidth } = document.documentElement;
        return { scrollWidth: all, clientWidth: seenWidth };
      });
      expect(scrollWidth).toBeLessThanOrEqual(clientWidth);
      await seen.close();
    }

    /** The words in which a button is answered that is pressed by keyboard, without JavaScript. */
    async function answerTo(button: string, url: string) {
      const plain = await visit(url, { javaScriptEnabled: false });
      await plain.page.locator('button', { hasText: button }).focus();
      await plain.page.keyboard.press('Enter');
      await plain.page.waitForLoadState('load');
      const said = await plain.page.locator('[role=status]').textContent();
      await plain.close();
      return said;
    }

    it('a contact’s own page has nothing serious against it, and is answered by keyboard alone', async () => {
      const own = new URL(await alarmed.settings.links.own(alarmed.trip, 'dana')).pathname;
      const url = new URL(own, urls.overdue).href;
      await holdsNarrowAndDark(url);
      expect(await answerTo("I've got it", url)).toContain('Noted.');
    });

    it('where a contact is asked has nothing serious against it, and is answered by keyboard alone', async () => {
      const to = 'edda@example.org';
      await quiet.w.say('mara', `/roster add name:Edda role:contact email:${to} ways:email`);
      const token = quiet.app.invitations.token(quiet.trip, { person: 'edda', way: 'email', to });
      const url = new URL(`/a/${quiet.trip}/${token}`, urls.climbing).href;
      await holdsNarrowAndDark(url);
      expect(await answerTo('Yes, I will', url)).toContain('Edda is contact now.');
    });

    it('leads to the sheet and back by keyboard alone, without JavaScript', async () => {
      const seen = await visit(urls.overdue ?? '', { javaScriptEnabled: false });
      const focusOn = async (text: string) => {
        for (let i = 0; i < 20; i++) {
          await seen.page.keyboard.press('Tab');
          if ((await seen.page.locator(':focus').textContent())?.includes(text)) return;
        }
        throw new Error(`${text} is not reached by Tab`);
      };
      await focusOn('To the sheet');
      await seen.page.keyboard.press('Enter');
      await seen.page.waitForURL(/\/sheet$/u);
      await focusOn('Open the sheet');
      await seen.page.keyboard.press('Enter');
      await seen.page.getByText('Position 62.10000° N').waitFor();
      await focusOn('Back to the status');
      await seen.page.keyboard.press('Enter');
      await seen.page.getByText('What was heard, newest first').waitFor();
      expect(seen.complaints).toEqual([]);
      await seen.close();
    });

    it('the sheet has nothing serious against it and prints to one A4 page with forty entries', async () => {
      for (let i = 0; i < 40; i++)
        await quiet.w.say('greta', `/checkin ok words:"word ${i} by radio"`);
      for (const [name, age] of [
        ['Mara', 31],
        ['Jonas', 29],
        ['Ines', 34],
      ] as const) {
        const facts = `phone:"+47 000 00 00${age % 10}" age:${age} clothing:"red shell, blue helmet, grey trousers" medical:"penicillin allergy"`;
        const reply = await quiet.w.say('mara', `/roster edit who:${name} ${facts}`);
        if (reply.refused) throw new Error(JSON.stringify(reply.lines));
      }
      const seen = await visit(`${urls.climbing}/sheet`);
      expect(await seriousIn(seen.page)).toEqual([]);
      await seen.page.getByRole('button', { name: 'Open the sheet' }).click();
      await seen.page.getByText('penicillin allergy').first().waitFor();
      expect(await seriousIn(seen.page)).toEqual([]);
      expect(pagesOf(await seen.page.pdf({ preferCSSPageSize: true }))).toBe(1);
      expect(seen.complaints).toEqual([]);
      await seen.close();
    });

    it('loads itself anew, and not when it was asked to stand still', async () => {
      const seen = await visit(urls.climbing ?? '');
      await seen.page.getByRole('link', { name: 'Make it stand still' }).click();
      await seen.page.getByText('This page stands still').waitFor();
      const response = await seen.page.reload();
      expect(response?.headers().refresh).toBeUndefined();
      await seen.page.getByRole('link', { name: 'every two minutes' }).click();
      await seen.page.getByText('is loaded anew every two minutes').waitFor();
      await seen.close();
    });
  },
);
