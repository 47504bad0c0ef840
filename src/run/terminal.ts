import { userInfo } from 'node:os';
import { buildBot, buildCore, type Ports } from '../bot.ts';
import { localWays } from '../chat/local/deliver.ts';
import { Terminal } from '../chat/local/terminal.ts';
import { textPictures } from '../page/picture/pictures.ts';
import type { Settings } from '../settings.ts';
import { keptForecasts } from '../system/forecasting/apart.ts';
import { systemReading } from '../system/reading/killable.ts';
import { openPage } from './page.ts';
import { pageSecret } from './page-secret.ts';
import { Parts } from './parts.ts';
import { stopSignal } from './stop.ts';
import { thisProcess } from './this-process.ts';
import { startWatch } from './watch.ts';

/** The local channel on the terminal's own input and output, until it is left. */
export async function runTerminal(ports: Ports, settings: Settings): Promise<void> {
  // Before anything is started: whoever stops it at once is heard too.
  const stopped = stopSignal();
  const parts = new Parts();
  try {
    const secret = pageSecret(settings.TAGLINE_DATA);
    const page = await openPage({
      store: ports.store,
      host: '127.0.0.1',
      port: 0,
      secret,
    });
    parts.add(page.close);
    const app = buildBot(buildCore(ports, textPictures, keptForecasts(ports.log)), {
      // The channel shows what would be mailed.
      withoutMail: () => undefined,
      phones: true,
      deafSinceMs: () => undefined,
      board: undefined,
      keepDays: settings.TAGLINE_KEEP_DAYS,
      reading: systemReading(),
      pages: page.links,
      secret,
      inbox: settings.TAGLINE_INBOX,
    });
    parts.add(page.serveWhenVisited(app).close);
    const terminal = new Terminal({
      app,
      input: process.stdin,
      output: process.stdout,
      dataDir: settings.TAGLINE_DATA,
      folder: process.cwd(),
      speaker: userInfo().username,
      zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
      ...(process.env.NO_COLOR ? { noColor: process.env.NO_COLOR } : {}),
    });
    parts.add(() => terminal.close());
    const watch = await startWatch({
      app,
      self: thisProcess(ports.clock.wallMs()),
      settings,
      ways: localWays(terminal.channel),
    });
    parts.add(watch.stop);
    await Promise.race([terminal.done, stopped]);
  } finally {
    await parts.close();
  }
}
