import type { Logger } from 'pino';
import type { Store, TripRow } from '../store/port.ts';
import { type Admitted, admit, admitting } from '../trip/admit.ts';
import type { Author, Draft, Fact, RawFact } from '../trip/fact.ts';
import { type Folded, folded, foldOn } from '../trip/fold.ts';
import { readingFacts } from '../trip/read.ts';
import type { Result } from '../trip/rules/no.ts';
import type { TripState } from '../trip/state.ts';
import { floodNo } from './flood.ts';
import { type Head, Heads, LOST, onHead, type Tried } from './heads.ts';
import { inSlices } from './in-slices.ts';
import { KeptTrips } from './kept.ts';
import { members } from './membership.ts';
import { withoutRepeats } from './repeats.ts';
import { storeChange } from './store-change.ts';
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

/**
 * The one way into a trip's record: load, decide, admit, append. After a lost race all four are done
 * anew. Commands, openings, imports, the page and the watch all write by it, so each change passes
 * the same gate.
 */
export class Records {
  readonly #parts: RecordParts;
  /** As read last, of what is stored for certain. What was told since is read from the store and folded on. */
  readonly #kept: KeptTrips;
  readonly #heads: Heads;
  readonly #turns = new Turns();
  readonly #unreadable = new Map<string, UnreadableRecord>();

  constructor(parts: RecordParts, kept = new KeptTrips()) {
    this.#parts = parts;
    this.#kept = kept;
    this.#heads = new Heads((loaded) => {
      const { id } = loaded.row;
      if ((kept.get(id)?.state.seq ?? 0) < loaded.state.seq) kept.put(loaded);
      parts.changed(id);
    });
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
    const raws = await this.#parts.store.events(row.id, upTo);
    const fresh = await inSlices(readingFacts(raws));
    if (!fresh.ok) throw this.#setAside(new UnreadableRecord(row, fresh.seq, fresh.why));
    // Somebody else erased something of it: what is known isn't what is stored.
    if (known !== undefined && fresh.value.some((f) => f.kind === 'log.erased')) {
      this.#kept.drop(row.id);
      return this.read(row);
    }
    return this.#keep({ ...this.#fold(row, known, fresh.value), row });
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

  /** Drops what is kept of a trip in memory; part of erasing it. */
  forget(trip: string): void {
    this.#kept.drop(trip);
    this.#unreadable.delete(trip);
  }

  /** What drafts would make of a trip, without recording them. */
  consider(loaded: Loaded, drafts: readonly Draft[], by: Author, nowMs: number): Result<Admitted> {
    const { row, state } = loaded;
    return admit(loaded, this.#factsOf(row.id, state.seq, drafts, by, nowMs), nowMs);
  }

  /**
   * Writes into a trip's record, after everything that was asked before of this trip here; so posts in one process
   * don't race. The turn ends when the store has been asked: what comes next is decided meanwhile, on what
   * this leads to, and is void with it should it not be stored. Whatever comes of either is said only once what it
   * rests on is on the disk. Reads the trip anew after each lost race.
   */
  async write(writing: Writing): Promise<Written> {
    const { trip } = writing;
    for (let tries = 0; tries < TRIES; tries++) {
      const tried =
        writing.waits === false
          ? await this.#try(writing)
          : await this.#turns.take(trip, () => this.#try(writing));
      const written = await tried.ends();
      if (written !== 'conflict') return written;
    }
    throw new Error(`trip ${trip}: lost ${TRIES} races in a row`);
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
    const admitted = await inSlices(admitting(folded(row.id, []), raws, nowMs));
    if (!admitted.ok) return { outcome: 'refused', no: admitted.no };
    const { facts: events, after: opened } = admitted.value;
    const after = opened.state;
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

  /** Decides, admits and asks the store, once; in the trip's turn. */
  async #try(writing: Writing): Promise<Tried> {
    const head = this.#heads.of(writing.trip);
    const loaded = head?.loaded ?? (await this.load(writing.trip));
    if (loaded === undefined) return { ends: async () => ({ outcome: 'gone' }) };
    try {
      return await this.#decided(writing, loaded, head);
    } catch (error) {
      return onHead(head, () => {
        throw error;
      });
    }
  }

  async #decided(writing: Writing, loaded: Loaded, head: Head | undefined): Promise<Tried> {
    const { nowMs, rung } = writing;
    const { row, state: before } = loaded;
    const drafts = withoutRepeats(loaded, await writing.decide(loaded), writing.by, nowMs);
    const flood = drafts.length === 0 ? undefined : floodNo(loaded, drafts, writing.by);
    if (flood !== undefined) {
      return onHead(head, () => ({ outcome: 'refused', no: flood, loaded }));
    }
    const admitted =
      drafts.length === 0 ? undefined : this.consider(loaded, drafts, writing.by, nowMs);
    if (admitted?.ok === false) {
      return onHead(head, () => ({ outcome: 'refused', no: admitted.no, loaded }));
    }
    const { facts: events, after: reached } = admitted?.value ?? { facts: [], after: loaded };
    const after = reached.state;
    const change = { before, after, events, nowMs };
    const answer = (await writing.answer?.(change)) ?? null;
    const derived = (writing.derive ?? this.#parts.derive)(change);
    if (events.length === 0 && rung === undefined && derived.notices.length === 0) {
      return onHead(head, () => ({ outcome: 'nothing', before, answer }));
    }
    // Where nothing is told there is no entry that the next one could be bound to.
    if (events.length === 0 && head !== undefined && !(await head.stored)) return LOST;
    if (head?.isVoid) return LOST;
    const key = typeof writing.key === 'string' ? writing.key : writing.key(loaded);
    const append = {
      trip: row.id,
      afterSeq: before.seq,
      ...(head === undefined ? {} : { afterId: before.entries.at(-1)?.event.id ?? '' }),
      ...stored(key, after, events),
      answer,
      ...derived,
    };
    const storing = storeChange(this.#parts.store, append, rung, nowMs);
    const next = { ...reached, row: { ...row, seq: after.seq } };
    const ended = events.length === 0 ? storing : this.#heads.lead(next, head, storing);
    return {
      ends: async () => {
        const result = await ended;
        if (result === 'conflict') return result;
        if (result === 'already') return { outcome: 'gone' };
        if (result !== 'stored') return { outcome: 'repeated', answer: result.answer };
        if (events.length === 0) return { outcome: 'nothing', before, answer };
        return { outcome: 'written', before, after, events, answer };
      },
    };
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
    this.#kept.put(loaded);
    return loaded;
  }

  /** Entries that are each in order may still be more than the fold can take. */
  #fold(row: TripRow, known: Folded | undefined, fresh: readonly Fact[]): Folded {
    try {
      return known === undefined ? folded(row.id, fresh) : foldOn(known, fresh);
    } catch (error) {
      throw this.#setAside(new UnreadableRecord(row, row.seq, String(error)));
    }
  }

  #setAside(error: UnreadableRecord): UnreadableRecord {
    if (!this.#unreadable.has(error.trip)) {
      this.#parts.log.error({ trip: error.trip, entry: error.seq, why: error.why }, error.message);
    }
    this.#kept.drop(error.trip);
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
