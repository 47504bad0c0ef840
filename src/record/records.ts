import type { Logger } from 'pino';
import type { Append, AppendResult, Store, TripRow } from '../store/port.ts';
import { type Admitted, admit } from '../trip/admit.ts';
import type { Author, Draft, Fact, RawFact } from '../trip/fact.ts';
import { fold } from '../trip/fold.ts';
import { readFacts } from '../trip/read.ts';
import type { Result } from '../trip/rules/no.ts';
import type { TripState } from '../trip/state.ts';
import { members } from './membership.ts';
import { withoutRepeats } from './repeats.ts';
import { Turns } from './turns.ts';
import { UnreadableRecord } from './unreadable.ts';
import type { Change, Derived, Loaded, Opened, Opening, Writing, Written } from './writing.ts';

/** The forms of what is read and written here. */
export type { Change, Derived, Loaded, Opened, Opening, Writing, Written } from './writing.ts';

/** What the records are built from. */
export interface RecordParts {
  store: Store;
  log: Pick<Logger, 'error'>;
  /** Fresh ids; seeded in scripts and tests. */
  ids: { trip(): string; event(): string };
  /** What follows from a change, unless the writer says otherwise. */
  derive(change: Change): Derived;
  /** Told after a change is stored. Must not throw. */
  changed(trip: string): void;
}

/** A race is lost when somebody else wrote between reading and storing. More in a row is a fault of ours. */
const TRIES = 20;
/** So many trips are kept in memory, those read last. */
const KEPT = 200;

/**
 * The one way into a trip's record: load, decide, admit, append. After a lost race all four are done
 * anew. Commands, openings, imports, the page and the watch all write by it, so each change passes
 * the same gate.
 */
export class Records {
  readonly #parts: RecordParts;
  /** As read last, the latest at the end. What was told since is read from the store and added. */
  readonly #kept = new Map<string, Loaded>();
  readonly #turns = new Turns();
  readonly #unreadable = new Map<string, UnreadableRecord>();

  constructor(parts: RecordParts) {
    this.#parts = parts;
  }

  /** Open trips that are set aside, as far as anybody has tried to read them, until they are `mended`. */
  get unreadable(): readonly UnreadableRecord[] {
    return [...this.#unreadable.values()].filter((r) => r.open);
  }

  /** A trip that was set aside can be read again and is watched. */
  mended(trip: string): void {
    this.#unreadable.delete(trip);
  }

  /**
   * A trip by its row.
   *
   * @throws UnreadableRecord when an entry of it can't be read; the trip is then set aside
   */
  async read(row: TripRow): Promise<Loaded> {
    const known = this.#kept.get(row.id);
    const upTo = known?.state.seq ?? 0;
    if (known !== undefined && upTo >= row.seq && row.seq > 0) return { ...known, row };
    const fresh = readFacts(await this.#parts.store.events(row.id, upTo));
    if (!fresh.ok) throw this.#setAside(new UnreadableRecord(row, fresh.seq, fresh.why));
    // Somebody else erased something of it: what is known isn't what is stored.
    if (known !== undefined && fresh.value.some((f) => f.kind === 'log.erased')) {
      this.#kept.delete(row.id);
      return this.read(row);
    }
    const history = [...(known?.history ?? []), ...fresh.value];
    return this.#keep({ row, history, state: this.#fold(row, history) });
  }

  /** A trip as it is now; undefined when there is none, or it was erased. */
  async load(trip: string): Promise<Loaded | undefined> {
    const row = await this.#parts.store.trip(trip);
    if (row === undefined || row.status === 'purged') {
      this.forget(trip);
      return undefined;
    }
    return this.read(row);
  }

  /**
   * Runs `work` after everything that was asked before about this trip. So posts in this process wait
   * for each other and don't race.
   */
  inTurn<T>(trip: string, work: () => Promise<T>): Promise<T> {
    return this.#turns.take(trip, work);
  }

  /** Drops what is kept of a trip in memory; part of erasing it. */
  forget(trip: string): void {
    this.#kept.delete(trip);
    this.#unreadable.delete(trip);
  }

  /** What drafts would make of a trip, without recording them. */
  consider(loaded: Loaded, drafts: readonly Draft[], by: Author, nowMs: number): Result<Admitted> {
    const { row, history, state } = loaded;
    const raws = this.#factsOf(row.id, state.seq, drafts, by, nowMs);
    return admit(row.id, history, raws, nowMs, state);
  }

  /** Writes into a trip's record. Reads the trip anew after each lost race. */
  async write(writing: Writing): Promise<Written> {
    for (let tries = 0; tries < TRIES; tries++) {
      const loaded = await this.load(writing.trip);
      if (loaded === undefined) return { outcome: 'gone' };
      const written = await this.#try(writing, loaded);
      if (written !== 'conflict') return written;
    }
    throw new Error(`trip ${writing.trip}: lost ${TRIES} races in a row`);
  }

  /**
   * Replaces a trip's deadlines though nothing is told: for one that nobody could read for a while.
   * Does nothing when somebody writes at the same moment, because that replaces them too.
   */
  async rearm(
    trip: string,
    nowMs: number,
    by: Author,
    derive: (state: TripState) => Derived,
  ): Promise<void> {
    const loaded = await this.load(trip);
    if (loaded === undefined) return;
    const { state } = loaded;
    const key = `${by.id}/rearm/${trip}/${state.seq}/${nowMs}`;
    await this.#parts.store.append({
      trip,
      afterSeq: state.seq,
      ...stored(key, state, []),
      answer: null,
      ...derive(state),
    });
    this.#parts.changed(trip);
  }

  /** Opens a trip with its first facts, all or nothing. */
  async open(opening: Opening): Promise<Opened> {
    const { row, key } = opening;
    const nowMs = row.openedAtMs;
    const raws = opening.first.every((f): f is RawFact => 'seq' in f)
      ? opening.first
      : this.#factsOf(row.id, 0, opening.first as readonly Draft[], opening.by, nowMs);
    const admitted = admit(row.id, [], raws, nowMs);
    if (!admitted.ok) return { outcome: 'refused', no: admitted.no };
    const { facts: events, after } = admitted.value;
    const answer = opening.answer(after);
    const derived = this.#parts.derive({ before: undefined, after, events, nowMs });
    const result = await this.#parts.store.openTrip(row, {
      ...stored(key, after, events),
      answer,
      ...derived,
    });
    if (result.ok) {
      this.#parts.changed(row.id);
      return { outcome: 'opened', answer };
    }
    if (result.why === 'repeated') return { outcome: 'repeated', answer: result.answer };
    if (result.why === 'channel-taken') return { outcome: 'channel-taken', trip: result.trip };
    throw new Error(`opening refused: ${result.why}`);
  }

  /** Decides, admits and appends once. */
  async #try(writing: Writing, loaded: Loaded): Promise<Written | 'conflict'> {
    const { nowMs, rung } = writing;
    const { row, state: before, history } = loaded;
    const drafts = withoutRepeats(loaded, await writing.decide(loaded), writing.by, nowMs);
    const admitted = this.consider(loaded, drafts, writing.by, nowMs);
    if (drafts.length > 0 && !admitted.ok) return { outcome: 'refused', no: admitted.no, loaded };
    const { facts: events, after } =
      admitted.ok && drafts.length > 0 ? admitted.value : { facts: [], after: before };
    const change = { before, after, events, nowMs };
    const answer = (await writing.answer?.(change)) ?? null;
    const derived = (writing.derive ?? this.#parts.derive)(change);
    if (events.length === 0 && rung === undefined && derived.notices.length === 0) {
      return { outcome: 'nothing', before, answer };
    }
    const key = typeof writing.key === 'string' ? writing.key : writing.key(loaded);
    const append = {
      trip: row.id,
      afterSeq: before.seq,
      ...stored(key, after, events),
      answer,
      ...derived,
    };
    const result = await this.#store(append, rung, nowMs);
    if (result === 'conflict') return result;
    if (result === 'already') return { outcome: 'gone' };
    if (result !== 'stored') return { outcome: 'repeated', answer: result.answer };
    if (events.length === 0) return { outcome: 'nothing', before, answer };
    this.#keep({ row: { ...row, seq: after.seq }, history: [...history, ...events], state: after });
    this.#parts.changed(row.id);
    return { outcome: 'written', before, after, events, answer };
  }

  /** Appends; together with the end of the deadlines that have rung, where there are any. */
  async #store(
    append: Append,
    rung: readonly string[] | undefined,
    atMs: number,
  ): Promise<'stored' | 'conflict' | 'already' | { answer: unknown }> {
    if (rung === undefined) return resultOf(await this.#parts.store.append(append));
    const { trip, afterSeq, notices, events } = append;
    const result = await this.#parts.store.fire({
      trip,
      keys: rung,
      atMs,
      notices,
      ...(events.length === 0 ? { afterSeq } : { append: { ...append, notices: [] } }),
    });
    return result === 'fired' ? 'stored' : result;
  }

  /** Drafts with numbers, ids and author, as they would stand in the record. */
  #factsOf(
    trip: string,
    afterSeq: number,
    drafts: readonly Draft[],
    by: Author,
    nowMs: number,
  ): RawFact[] {
    return drafts.map((draft, i) => ({
      trip,
      seq: afterSeq + 1 + i,
      id: this.#parts.ids.event(),
      kind: draft.kind,
      atMs: draft.atMs ?? nowMs,
      recordedAtMs: nowMs,
      by,
      ...(draft.typed === undefined ? {} : { typed: draft.typed }),
      data: draft.data,
    }));
  }

  #keep(loaded: Loaded): Loaded {
    const { id } = loaded.row;
    this.#kept.delete(id);
    this.#kept.set(id, loaded);
    for (const oldest of this.#kept.keys()) {
      if (this.#kept.size <= KEPT) break;
      this.#kept.delete(oldest);
    }
    return loaded;
  }

  /** Entries that are each in order may still be more than the fold can take. */
  #fold(row: TripRow, history: readonly Fact[]): TripState {
    try {
      return fold(row.id, history);
    } catch (error) {
      throw this.#setAside(new UnreadableRecord(row, row.seq, String(error)));
    }
  }

  #setAside(error: UnreadableRecord): UnreadableRecord {
    if (!this.#unreadable.has(error.trip)) {
      this.#parts.log.error({ trip: error.trip, entry: error.seq, why: error.why }, error.message);
    }
    this.#kept.delete(error.trip);
    this.#unreadable.set(error.trip, error);
    return error;
  }
}

/** What every append carries of the state it leads to. */
function stored(key: string, after: TripState, events: readonly Fact[]) {
  return {
    key,
    events,
    members: members(after),
    status: after.closedAtMs === undefined ? ('open' as const) : ('closed' as const),
    name: after.name,
  };
}

function resultOf(result: AppendResult): 'stored' | 'conflict' | 'already' | { answer: unknown } {
  if (result.ok) return 'stored';
  if (result.why === 'conflict') return 'conflict';
  // Erased since it was read.
  if (result.why === 'no-trip') return 'already';
  if (result.why === 'repeated') return { answer: result.answer };
  throw new Error(`append refused: ${result.why}`);
}
