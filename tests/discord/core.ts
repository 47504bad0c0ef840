import type { StandClock } from './clock.ts';
import type { Faults } from './faults.ts';
import type { Gateway } from './gateway/gateway.ts';
import type { Journal } from './journal.ts';
import type { GlobalRate } from './rate.ts';
import type { World } from './world.ts';

/** The parts every handler may use. */
export interface Core {
  world: World;
  clock: StandClock;
  journal: Journal;
  gateway: Gateway;
  faults: Faults;
  rate: GlobalRate;
  settings: Settings;
  /** Mistakes of the stand-in itself; closing it rejects when there are any. */
  bugs: unknown[];
  /** `http://127.0.0.1:PORT`, known once it listens. */
  origin: string;
}

export interface Settings {
  token: string;
  /** Span within which a repeated nonce is folded, ms. */
  nonceMs: number;
  fileBytesMax: number;
  /** Shards to recommend; the bot may use any number. */
  shards: number;
  /** Privileged intents switched on for the application. */
  privilegedIntents: number;
  heartbeatIntervalMs: number;
  /** Logins left of the day's, and when there are new ones; a thousand, always, unless a test says so. */
  sessionStarts?: { remaining: number; resetAfterMs: number } | undefined;
  /** Waited for before each answer; nothing unless a test or a benchmark gives one. */
  latency?: (() => Promise<void>) | undefined;
}
