import type { StandClock } from './clock.ts';
import type { Core, Settings } from './core.ts';
import { Faults } from './faults.ts';
import { Gateway } from './gateway/gateway.ts';
import { Journal } from './journal.ts';
import { FILE_BYTES_MAX, MESSAGE } from './limits.ts';
import { GlobalRate } from './rate.ts';
import { listen } from './server.ts';
import { World } from './world.ts';

export interface StandOptions extends Partial<Settings> {
  clock: StandClock;
  /** 0, the default, takes any free port. */
  port?: number;
}

/** Puts the parts together and listens on 127.0.0.1. */
export async function open(
  options: StandOptions,
): Promise<{ core: Core; close: () => Promise<void> }> {
  const { clock, port = 0, ...given } = options;
  const settings: Settings = {
    token: 'stand-in.token.of-no-value',
    nonceMs: MESSAGE.nonceMs,
    fileBytesMax: FILE_BYTES_MAX,
    shards: 1,
    privilegedIntents: 0,
    // events/gateway.mdx, Hello Event: the order of size Discord gives.
    heartbeatIntervalMs: 41_250,
    ...given,
  };
  const world = new World(clock);
  const journal = new Journal(clock);
  const gateway = new Gateway(world, journal, clock, settings);
  const faults = new Faults();
  const rate = new GlobalRate(clock);
  const core: Core = {
    world,
    clock,
    journal,
    gateway,
    faults,
    rate,
    settings,
    bugs: [],
    origin: '',
  };
  const server = await listen(core, port);
  const close = async (): Promise<void> => {
    await new Promise<void>((resolve) => {
      gateway.cut();
      server.close(() => resolve());
      // Answers kept back by a fault hold their sockets open.
      server.closeAllConnections();
    });
    if (core.bugs.length > 0) throw new AggregateError(core.bugs, 'the stand-in failed');
  };
  return { core, close };
}
