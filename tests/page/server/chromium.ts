import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

const PLACES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];

/** Where a Chromium stands, or undefined. CHROMIUM_PATH goes first. */
export function chromiumPath(): string | undefined {
  return [process.env.CHROMIUM_PATH ?? '', ...PLACES].find(
    (path) => path !== '' && existsSync(path),
  );
}

/** Why the browser's tests are left out; undefined when they run. In CI they may not be left out. */
export function noChromium(): string | undefined {
  if (chromiumPath() !== undefined) return undefined;
  if (process.env.CI === 'true') {
    throw new Error(
      'No Chromium found, and CI must not do without: install it or set CHROMIUM_PATH.',
    );
  }
  return 'no Chromium found; set CHROMIUM_PATH to run them';
}

export function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: chromiumPath() ?? '',
    headless: true,
    // No limit: a slow machine may take its time.
    timeout: 0,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}
