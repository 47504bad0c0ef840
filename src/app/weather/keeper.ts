import { daysOf } from '../../forecast/trip-days.ts';
import type { WeatherSpell } from '../../trip/kinds/weather.ts';
import { isOver } from '../../trip/mode.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { askOf } from './ask.ts';
import type { Place, Service } from './services.ts';

const HOUR_MS = 3_600_000;
/** How often it is looked whether a trip wants newer weather, and how old its weather may get. */
const LOOK_EVERY_MS = 10 * 60_000;
export const REFRESH_MS = 3 * HOUR_MS;
/** A service that didn't answer is left alone for so long. */
const AGAIN_MS = HOUR_MS;
/** Weather is fetched from so long before the first day on, and so far ahead. */
const BEFORE_MS = 4 * 24 * HOUR_MS;
const AHEAD_MS = 5 * 24 * HOUR_MS;
/** Two decimals are a kilometre: enough for weather, and no more of a party's place than that goes out. */
const DECIMALS = 100;

export interface WeatherParts {
  app: Pick<App, 'clock' | 'store' | 'records' | 'log'>;
  /** In the order in which they are asked; the first that answers is taken. */
  services: readonly Service[];
  /** Who asks: a mail address or page of whoever runs the bot. */
  contact: string;
}

/**
 * Keeps the weather of open trips fresh from services of open data. It writes what it fetched into each trip's record,
 * so no answer ever waits for a service; one that doesn't answer is noted once, and tried again after a while.
 */
export class WeatherKeeper {
  readonly #parts: WeatherParts;
  /** Services that don't answer, and when each is tried again. */
  readonly #quietUntil = new Map<string, number>();
  /** What was fetched last by place, so that trips to one wall ask once. */
  readonly #fetched = new Map<
    string,
    { atMs: number; from: Service['name']; spells: WeatherSpell[] }
  >();

  constructor(parts: WeatherParts) {
    this.#parts = parts;
  }

  /** Looks after the trips until `signal` aborts. */
  async run(signal: AbortSignal): Promise<void> {
    const { clock, log } = this.#parts.app;
    while (!signal.aborted) {
      await this.look(signal).catch((error: unknown) => {
        log.warn({ err: error }, 'the weather could not be looked after');
      });
      await clock.sleep(LOOK_EVERY_MS, signal);
    }
  }

  /** Fetches for each open trip that wants it, one after the other. */
  async look(signal: AbortSignal): Promise<void> {
    const { store, records, log, clock } = this.#parts.app;
    for (const row of await store.openTrips()) {
      if (signal.aborted) return;
      try {
        const nowMs = clock.wallMs();
        const { state } = await records.read(row);
        const place = wants(state, nowMs);
        if (place !== undefined) await this.#refresh(row.id, place, nowMs, signal);
      } catch (error) {
        // A trip that can't be read, or a full disk, is told by others; the next trip has its weather.
        log.warn({ err: error, trip: row.id }, 'the weather of a trip could not be kept');
      }
    }
  }

  async #refresh(trip: string, place: Place, nowMs: number, signal: AbortSignal): Promise<void> {
    const found = await this.#fetch(place, nowMs, signal);
    if (found === undefined) return;
    const { from, spells, atMs } = found;
    await this.#parts.app.records.write({
      trip,
      key: `weather/${trip}/${atMs}`,
      nowMs,
      by: { id: `weather:${from}`, name: 'tagline' },
      decide: ({ state }) =>
        wants(state, nowMs) === undefined ? [] : [{ kind: 'weather.told', data: { from, spells } }],
    });
  }

  async #fetch(place: Place, nowMs: number, signal: AbortSignal) {
    const key = `${place.lat},${place.lon}`;
    const last = this.#fetched.get(key);
    if (last !== undefined && Math.abs(nowMs - last.atMs) < REFRESH_MS) return last;
    const { app, contact, services } = this.#parts;
    for (const service of services) {
      if ((this.#quietUntil.get(service.name) ?? 0) > nowMs) continue;
      try {
        const ask = askOf(service.host, `tagline (${contact})`, app.clock, signal);
        const all = await service.read(ask, service.host, place);
        const spells = ahead(all, nowMs);
        if (spells.length === 0) throw new Error('it tells nothing of the time ahead');
        if (this.#quietUntil.delete(service.name)) {
          app.log.info({ service: service.name }, 'the weather service answers again');
        }
        for (const [other, { atMs }] of this.#fetched) {
          if (nowMs - atMs >= REFRESH_MS) this.#fetched.delete(other);
        }
        const found = { atMs: nowMs, from: service.name, spells };
        this.#fetched.set(key, found);
        return found;
      } catch (error) {
        if (signal.aborted) return undefined;
        if (!this.#quietUntil.has(service.name)) {
          const why = error instanceof Error ? error.message.slice(0, 200) : 'unknown';
          app.log.warn({ service: service.name, why }, 'a weather service does not answer');
        }
        this.#quietUntil.set(service.name, nowMs + AGAIN_MS);
      }
    }
    return undefined;
  }
}

/** The place whose weather a trip wants now; undefined while it wants none. */
function wants(state: TripState, nowMs: number): Place | undefined {
  const { lat, lon } = state.place;
  if (lat === undefined || lon === undefined || isOver(state)) return undefined;
  const fetchedMs = state.weather.fetched?.atMs;
  if (fetchedMs !== undefined && nowMs - fetchedMs < REFRESH_MS && nowMs >= fetchedMs) {
    return undefined;
  }
  const firstMs = daysOf(state, nowMs)[0]?.startMs ?? nowMs;
  if (state.departedAtMs === undefined && firstMs - nowMs > BEFORE_MS) return undefined;
  const round = (degrees: number) => Math.round(degrees * DECIMALS) / DECIMALS;
  return { lat: round(lat), lon: round(lon) };
}

/** What lies ahead, as far as anybody plans by it, within the bounds of a fact. */
function ahead(all: readonly WeatherSpell[], nowMs: number): WeatherSpell[] {
  return all
    .filter((s) => s.toMs > nowMs && s.fromMs < nowMs + AHEAD_MS && s.toMs > s.fromMs)
    .slice(0, 200);
}
