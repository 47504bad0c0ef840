import { userInfo } from 'node:os';
import { buildBot, type Ports } from '../bot.ts';
import { localWays } from '../chat/local/deliver.ts';
import { Terminal } from '../chat/local/terminal.ts';
import { textPictures } from '../page/picture/pictures.ts';
import { printableSheet } from '../page/server/sheet-page.ts';
import type { Settings } from '../settings.ts';
import { startPage } from './page.ts';
import { stopSignal } from './stop.ts';
import { type RunningWatch, startWatch } from './watch.ts';

/** The local channel on the terminal's own input and output, until it is left. */
export async function runTerminal(ports: Ports, settings: Settings): Promise<void> {
  // Before anything is started: whoever stops it at once is heard too.
  const stopped = stopSignal();
  let watch: RunningWatch | undefined;
  let terminal: Terminal | undefined;
  const app = buildBot({ ...ports, changed: () => watch?.poke() });
  app.pictures = textPictures;
  app.printSheet = printableSheet;
  const page = await startPage({ app, host: '127.0.0.1', port: 0 });
  try {
    terminal = new Terminal({
      app,
      input: process.stdin,
      output: process.stdout,
      dataDir: settings.TAGLINE_DATA,
      folder: process.cwd(),
      speaker: userInfo().username,
      zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
      ...(process.env.NO_COLOR ? { noColor: process.env.NO_COLOR } : {}),
    });
    const { channel, done } = terminal;
    watch = await startWatch({ app, settings, ways: localWays(() => channel) });
    await Promise.race([done, stopped]);
  } finally {
    await watch?.stop();
    await terminal?.close();
    await page.close();
  }
}
