import { Counter, Gauge, Histogram, Registry } from 'prom-client';
import type { LoopStatus } from '../delivery/loop.ts';
import type { Counters } from '../delivery/ports.ts';
import type { HealthNumbers } from './health.ts';

export interface Metrics {
  /** Prometheus text. */
  text(): Promise<string>;
  contentType: string;
}

/** What the watch counts, with where it is counted. */
export interface Counting {
  counters: Counters;
  registry: Registry;
}

export interface MetricsParts {
  registry: Registry;
  loop(): LoopStatus;
  monoMs(): number;
  /** How things stand; see health.ts. */
  numbers(): Promise<HealthNumbers>;
}

/** What the watch counts. No label holds a trip, a name or an address. */
export function createCounters(): Counting {
  const registry = new Registry();
  const registers = [registry];
  const raised = new Counter({
    name: 'tagline_phases_raised_total',
    help: 'Phases of alarm raised.',
    labelNames: ['phase'],
    registers,
  });
  const attempts = new Counter({
    name: 'tagline_delivery_attempts_total',
    help: 'Attempts to deliver a notice, by way and what came of it.',
    labelNames: ['way', 'result', 'why'],
    registers,
  });
  const ended = new Counter({
    name: 'tagline_notices_ended_total',
    help: 'Notices that were sent, failed, were cancelled or expired, and why.',
    labelNames: ['status', 'why'],
    registers,
  });
  const lateness = new Histogram({
    name: 'tagline_notice_lateness_seconds',
    help: 'From when a notice was due to when it was sent.',
    buckets: [1, 5, 15, 60, 300, 900, 3600, 21_600],
    registers,
  });
  const faults = new Counter({
    name: 'tagline_watch_faults_total',
    help: 'Faults in our own code or the database, by where.',
    labelNames: ['where'],
    registers,
  });
  return {
    registry,
    counters: {
      fired: (phase) => raised.inc({ phase }),
      attempt: (way, result, why) => attempts.inc({ way, result, why }),
      ended(status, why, lateMs) {
        ended.inc({ status, why });
        if (status === 'sent') lateness.observe(lateMs / 1000);
      },
      fault: (where) => faults.inc({ where }),
    },
  };
}

const NUMBERS: readonly (readonly [keyof HealthNumbers, string, string])[] = [
  ['failingTrips', 'tagline_trips_failing', 'Trips that can not be read or handled.'],
  ['missingTrips', 'tagline_trips_missing', 'Trips that were open and are gone from the database.'],
  [
    'storeBroken',
    'tagline_store_broken',
    '1 while the database can not be written, or its file was moved, replaced or emptied.',
  ],
  ['lateNotices', 'tagline_notices_late', 'Notices that wait for longer than they may.'],
  [
    'clockOffSeconds',
    'tagline_clock_off_seconds',
    'How far the clock is ahead of what is believed.',
  ],
  [
    'gatewayLostSeconds',
    'tagline_gateway_lost_seconds',
    'Since the chat was lost; 0 while it is there.',
  ],
  [
    'rateLimited',
    'tagline_chat_rate_limited_total',
    'Requests that the chat refused because there were too many (429).',
  ],
  [
    'invalidRequests',
    'tagline_chat_invalid_requests_total',
    'Requests that the chat refused and counts against us (401, 403, 429).',
  ],
  [
    'invalidLately',
    'tagline_chat_invalid_requests_lately',
    'Those of the last ten minutes; at 10,000 the chat shuts us out.',
  ],
  ['mailBroken', 'tagline_mail_broken', '1 while the mail server does not take mail from us.'],
  ['phonesBroken', 'tagline_phones_broken', '1 while the gateway takes no messages to phones.'],
  ['ntfyBroken', 'tagline_ntfy_broken', '1 while a server of ntfy takes no messages.'],
];

/** The counts, and how the loop stands when it is asked. */
export function createMetrics({ registry, loop, monoMs, numbers }: MetricsParts): Metrics {
  const registers = [registry];
  new Gauge({
    name: 'tagline_watch_tick_age_seconds',
    help: 'Since the loop last looked; -1 before the first time.',
    registers,
    collect() {
      const { tickedMonoMs } = loop();
      this.set(tickedMonoMs === undefined ? -1 : (monoMs() - tickedMonoMs) / 1000);
    },
  });
  new Gauge({
    name: 'tagline_notices_in_flight',
    help: 'Notices on their way now.',
    registers,
    collect() {
      this.set(loop().inFlight);
    },
  });
  // All gauges of one collecting look at the same numbers.
  let looking: Promise<HealthNumbers> | undefined;
  const look = () => {
    looking ??= numbers().finally(() => {
      looking = undefined;
    });
    return looking;
  };
  for (const [number, name, help] of NUMBERS) {
    if (name.endsWith('_total')) {
      new Counter({
        name,
        help,
        registers,
        async collect() {
          this.reset();
          this.inc((await look())[number]);
        },
      });
      continue;
    }
    new Gauge({
      name,
      help,
      registers,
      async collect() {
        this.set((await look())[number]);
      },
    });
  }
  return {
    contentType: registry.contentType,
    text: () => registry.metrics(),
  };
}
