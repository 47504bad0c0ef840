import type { LoopStatus } from '../delivery/loop.ts';
import type { Records } from '../record/records.ts';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';

/** A chat's connection, as it reports itself; the ages are undefined before the first. */
export interface Gateway {
  ready: boolean;
  heartbeatAgeMs?: number;
}

export interface HealthParts {
  clock: Clock;
  store: Pick<Store, 'check'>;
  loop(): LoopStatus;
  records: Pick<Records, 'unreadable'>;
  /** Undefined without a chat that needs a connection. */
  gateway?(): Gateway;
}

export interface Check {
  ok: boolean;
  /** In a few words, without addresses or names. */
  says: string;
}

export interface HealthReport {
  ok: boolean;
  checks: { loop: Check; store: Check; records: Check; gateway?: Check };
}

/** Four of the loop's longest sleeps. Engineering choice. */
const LOOP_STALLED_MS = 120_000;
/** A reconnect takes seconds; beyond this the gateway counts as gone. Engineering choice. */
const GATEWAY_GONE_MS = 60_000;
/** Discord answers a heartbeat about every 41 s; three missed and the connection is deaf. */
const HEARTBEAT_MAX_MS = 150_000;

/** Whether the watch can be relied on now: it looks, it can write, and it can be spoken to. */
export class Health {
  readonly #parts: HealthParts;
  readonly #startedMonoMs: number;
  /** Since when the gateway has not been ready, monotonic. */
  #lostMonoMs: number | undefined;

  constructor(parts: HealthParts) {
    this.#parts = parts;
    this.#startedMonoMs = parts.clock.monoMs();
  }

  async report(): Promise<HealthReport> {
    const gateway = this.#gateway();
    const checks = {
      loop: this.#loop(),
      store: await this.#store(),
      records: this.#records(),
      ...(gateway === undefined ? {} : { gateway }),
    };
    return { ok: Object.values(checks).every((c) => c.ok), checks };
  }

  #loop(): Check {
    const { tickedMonoMs, faults } = this.#parts.loop();
    // Before the first look, the start counts: a loop that never began is stalled too.
    const ageMs = this.#parts.clock.monoMs() - (tickedMonoMs ?? this.#startedMonoMs);
    const says = `looked ${Math.round(ageMs / 1000)} s ago${faults === 0 ? '' : `, ${faults} faults in a row`}`;
    return { ok: ageMs <= LOOP_STALLED_MS, says };
  }

  #records(): Check {
    const aside = this.#parts.records.unreadable.map((r) => r.trip);
    return aside.length === 0
      ? { ok: true, says: 'read' }
      : { ok: false, says: `set aside, can't be read: ${aside.slice(0, 10).join(', ')}` };
  }

  async #store(): Promise<Check> {
    try {
      await this.#parts.store.check(this.#parts.clock.wallMs());
      return { ok: true, says: 'written' };
    } catch (error) {
      const code = (error as { code?: unknown }).code;
      return { ok: false, says: typeof code === 'string' ? code : 'cannot be written' };
    }
  }

  #gateway(): Check | undefined {
    const gateway = this.#parts.gateway?.();
    if (gateway === undefined) return undefined;
    const nowMs = this.#parts.clock.monoMs();
    if (gateway.ready) this.#lostMonoMs = undefined;
    else this.#lostMonoMs ??= nowMs;
    const lostMs = this.#lostMonoMs === undefined ? 0 : nowMs - this.#lostMonoMs;
    const beatMs = gateway.heartbeatAgeMs ?? 0;
    if (lostMs > GATEWAY_GONE_MS)
      return { ok: false, says: `gone for ${Math.round(lostMs / 1000)} s` };
    if (beatMs > HEARTBEAT_MAX_MS)
      return { ok: false, says: `deaf for ${Math.round(beatMs / 1000)} s` };
    return { ok: true, says: gateway.ready ? 'ready' : 'reconnecting' };
  }
}
