import type { LoopStatus } from '../delivery/loop.ts';
import type { Records } from '../record/records.ts';
import type { Store } from '../store/port.ts';
import type { Clock } from '../time/clock.ts';

/** A chat's connection, as it reports itself; the ages are undefined before the first. */
export interface Gateway {
  ready: boolean;
  /** Another process on this database is connected in our place. */
  elsewhere?: true;
  heartbeatAgeMs?: number;
  /** Since it was lost, or since the start without one. */
  lostAgeMs?: number;
  /** Why it does not come back by itself, and what mends it. */
  refused?: string;
  /** What became of our requests. */
  requests?: {
    /** Refused because there were too many, since the start. */
    readonly limited: number;
    /** Refused in a way that counts against us, since the start and in the last ten minutes. */
    readonly invalid: number;
    readonly invalidLately: number;
  };
}

/** How long nothing has come in; undefined while the chat is there. */
export function lostMs({ lostAgeMs, refused }: Gateway): number | undefined {
  return refused === undefined ? lostAgeMs : (lostAgeMs ?? 0);
}

export interface HealthParts {
  clock: Clock;
  store: Pick<Store, 'check' | 'readyNotices'>;
  loop(): LoopStatus;
  records: Pick<Records, 'unreadable'>;
  /** Ids of trips that were open and are gone from the database. */
  missing(): Promise<readonly string[]>;
  /** Undefined without a chat that needs a connection. */
  gateway?(): Gateway;
  /** Why mail does not go out, in a few words; undefined while it does. Left out where none is set up. */
  mail?(): string | undefined;
  /** Why the gateway takes no messages to phones. Left out where none is set up. */
  phones?(): string | undefined;
  /** Why servers of ntfy take no messages. Left out where none are set up. */
  ntfy?(): string | undefined;
}

export interface Check {
  ok: boolean;
  /** In a few words, without addresses or names. */
  says: string;
}

export interface HealthReport {
  ok: boolean;
  checks: {
    loop: Check;
    trips: Check;
    clock: Check;
    store: Check;
    records: Check;
    missing: Check;
    notices: Check;
    gateway?: Check;
    requests?: Check;
    mail?: Check;
    phones?: Check;
    ntfy?: Check;
  };
}

/** What the metrics show of the same; numbers only. */
export interface HealthNumbers {
  failingTrips: number;
  missingTrips: number;
  storeBroken: number;
  lateNotices: number;
  clockOffSeconds: number;
  gatewayLostSeconds: number;
  rateLimited: number;
  invalidRequests: number;
  invalidLately: number;
  mailBroken: number;
  phonesBroken: number;
  ntfyBroken: number;
}

/** Four of the loop's longest sleeps. Engineering choice. */
const LOOP_STALLED_MS = 120_000;
/** A reconnect takes seconds; beyond this the gateway counts as gone. Engineering choice. */
const GATEWAY_GONE_MS = 60_000;
/** Discord answers a heartbeat about every 41 s; three missed and the connection is deaf. */
const HEARTBEAT_MAX_MS = 150_000;

/**
 * Discord shuts an address out for a while at 10,000 invalid requests in ten minutes (topics/rate-limits.mdx,
 * Invalid Request Limit Aka Cloudflare Bans): half of that is said while there is time to look.
 */
const INVALID_MAX = 5_000;

const MINUTE_MS = 60_000;
/** How long a notice may wait, by its urgency; the last for all others. Engineering choice. */
const LATE_MS = [5, 15, 30, 60, 360].map((min) => min * MINUTE_MS);

/** Whether the watch can be relied on now: it looks, it can write, and it can be spoken to. */
export class Health {
  readonly #parts: HealthParts;
  readonly #startedMonoMs: number;

  constructor(parts: HealthParts) {
    this.#parts = parts;
    this.#startedMonoMs = parts.clock.monoMs();
  }

  async report(): Promise<HealthReport> {
    const gateway = this.#gateway();
    const mail = taken(this.#parts.mail);
    const phones = taken(this.#parts.phones);
    const ntfy = taken(this.#parts.ntfy);
    const requests = this.#requests();
    const checks = {
      loop: this.#loop(),
      trips: this.#trips(),
      clock: this.#clock(),
      store: await this.#store(),
      records: this.#records(),
      missing: await this.#missing(),
      notices: await this.#notices(),
      ...(mail === undefined ? {} : { mail }),
      ...(phones === undefined ? {} : { phones }),
      ...(ntfy === undefined ? {} : { ntfy }),
      ...(gateway === undefined ? {} : { gateway }),
      ...(requests === undefined ? {} : { requests }),
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
      const trouble = await this.#parts.store.check(this.#parts.clock.wallMs());
      return { ok: true, says: trouble === undefined ? 'written' : `written; ${trouble}` };
    } catch (error) {
      const code = (error as { code?: unknown }).code;
      return { ok: false, says: typeof code === 'string' ? code : 'cannot be written' };
    }
  }

  async #missing(): Promise<Check> {
    const missing = await this.#parts.missing().catch(() => undefined);
    if (missing === undefined) return { ok: false, says: 'cannot be looked up' };
    if (missing.length === 0) return { ok: true, says: 'none' };
    return { ok: false, says: `were open and are gone: ${missing.slice(0, 10).join(', ')}` };
  }

  #gateway(): Check | undefined {
    const gateway = this.#parts.gateway?.();
    if (gateway === undefined) return undefined;
    if (gateway.refused !== undefined) return { ok: false, says: gateway.refused };
    const lostMs = gateway.lostAgeMs ?? 0;
    const beatMs = gateway.heartbeatAgeMs ?? 0;
    if (lostMs > GATEWAY_GONE_MS)
      return { ok: false, says: `gone for ${Math.round(lostMs / 1000)} s` };
    if (beatMs > HEARTBEAT_MAX_MS)
      return { ok: false, says: `deaf for ${Math.round(beatMs / 1000)} s` };
    return { ok: true, says: gateway.ready ? 'ready' : 'reconnecting' };
  }

  #requests(): Check | undefined {
    const requests = this.#parts.gateway?.().requests;
    if (requests === undefined) return undefined;
    const { invalidLately } = requests;
    return {
      ok: invalidLately < INVALID_MAX,
      says: `${invalidLately} refused in ten minutes; at 10000 the chat shuts us out`,
    };
  }

  #trips(): Check {
    const { failing = [] } = this.#parts.loop();
    if (failing.length === 0) return { ok: true, says: 'handled' };
    return { ok: false, says: `can't be handled: ${failing.slice(0, 10).join(', ')}` };
  }

  #clock(): Check {
    const { doubt } = this.#parts.loop();
    return { ok: doubt === undefined, says: doubt ?? 'believed' };
  }

  async #notices(): Promise<Check> {
    const late = await this.#late().catch(() => undefined);
    if (late === undefined) return { ok: false, says: 'cannot be read' };
    return { ok: late === 0, says: late === 0 ? 'in time' : `${late} not delivered in time` };
  }

  /** Notices that wait for longer than their urgency allows. */
  async #late(): Promise<number> {
    const nowMs = this.#parts.clock.wallMs() - this.#parts.loop().clockOffMs;
    const rows = await this.#parts.store.readyNotices(Number.MAX_SAFE_INTEGER);
    const allowed = (urgency: number) => LATE_MS[Math.min(urgency, LATE_MS.length - 1)] as number;
    return rows.filter((row) => nowMs - row.dueAtMs > allowed(row.urgency)).length;
  }

  /** The same as numbers, for the metrics. */
  async numbers(): Promise<HealthNumbers> {
    const { failing = [], clockOffMs } = this.#parts.loop();
    const gateway = this.#parts.gateway?.();
    return {
      failingTrips: failing.length + this.#parts.records.unreadable.length,
      missingTrips: await this.#parts.missing().then(
        (ids) => ids.length,
        () => -1,
      ),
      storeBroken: (await this.#store()).ok ? 0 : 1,
      lateNotices: await this.#late().catch(() => -1),
      clockOffSeconds: clockOffMs / 1000,
      gatewayLostSeconds: (gateway?.lostAgeMs ?? 0) / 1000,
      rateLimited: gateway?.requests?.limited ?? 0,
      invalidRequests: gateway?.requests?.invalid ?? 0,
      invalidLately: gateway?.requests?.invalidLately ?? 0,
      mailBroken: this.#parts.mail?.() === undefined ? 0 : 1,
      phonesBroken: this.#parts.phones?.() === undefined ? 0 : 1,
      ntfyBroken: this.#parts.ntfy?.() === undefined ? 0 : 1,
    };
  }
}

/** Whether what is sent that way is taken; undefined where the way is not set up. */
function taken(trouble: (() => string | undefined) | undefined): Check | undefined {
  if (trouble === undefined) return undefined;
  const why = trouble();
  return { ok: why === undefined, says: why ?? 'taken' };
}
