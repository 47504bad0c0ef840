/** Looks at a page in a real browser as a reader does: how wide it is, and what axe-core finds. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, Page } from 'playwright-core';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** A fresh visitor on a small phone; what the browser complains of ends up in `complaints`. */
export async function visitor(browser: Browser, look: Parameters<Browser['newContext']>[0] = {}) {
  const context = await browser.newContext({
    viewport: { width: 320, height: 740 },
    locale: 'en-GB',
    ...look,
  });
  context.setDefaultTimeout(0);
  const page = await context.newPage();
  const complaints: string[] = [];
  page.on('console', (m) => {
    if (m.type() === 'error' || m.type() === 'warning') complaints.push(m.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  return { context, page, complaints };
}

/** How wide the page is, in CSS pixels. */
export const widthOf = (page: Page) => page.evaluate(widthThere);

/** What axe-core finds by WCAG 2.2 A and AA and its best practices, of impact serious or critical. */
export async function seriousIn(page: Page): Promise<string[]> {
  await page.evaluate(AXE);
  return page.evaluate(seriousThere);
}

function widthThere(): number {
  const { document } = globalThis as unknown as {
    document: { documentElement: { scrollWidth: number } };
  };
  return document.documentElement.scrollWidth;
}

async function seriousThere(): Promise<string[]> {
  const { axe } = globalThis as unknown as {
    axe: { run(): Promise<{ violations: { id: string; impact: string }[] }> };
  };
  const { violations } = await axe.run();
  return violations
    .filter((v) => v.impact === 'serious' || v.impact === 'critical')
    .map((v) => v.id);
}
