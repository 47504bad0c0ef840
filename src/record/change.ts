import type { App } from '../app/app.ts';
import type { Call } from '../app/command.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { TripRow } from '../store/port.ts';
import { admit } from '../trip/admit.ts';
import type { TripEvent } from '../trip/event.ts';
import type { No } from '../trip/rules/no.ts';
import type { TripState } from '../trip/state.ts';
import { mustAct } from './membership.ts';
import { storedForm } from './stored.ts';
import { findRow, type Loaded, load } from './trips.ts';
import { Turns } from './turns.ts';

/** An event to be: who, when told and its ids are filled in here. */
export interface Draft {
  kind: string;
  data: object;
  /** When it happened; now when left out. */
  atMs?: number;
  /** The time as typed. */
  typed?: string;
}

export interface Changed {
  before: TripState;
  after: TripState;
  events: readonly TripEvent[];
}

export interface ChangePlan {
  /** What is to be recorded. Throws a Refusal when it can't be; no drafts means nothing to change. */
  decide(loaded: Loaded): readonly Draft[] | Promise<readonly Draft[]>;
  /** The answer, stored with the change and given again on a repeated delivery. */
  answer(changed: Changed): Reply | Promise<Reply>;
  /** Turns a rule's no into a refusal with the right way out; the plain wording when left out. */
  refuse?(no: No, loaded: Loaded): Refusal;
}

/** Posts at the same moment retry on the new state; more losers in a row than this is a fault. */
const TRIES = 20;

/**
 * Load, decide, check against every rule, save in one go, answer. A repeated delivery (same call id)
 * changes nothing and gets the first answer; whoever loses a race decides anew on the new state.
 */
export async function change(app: App, call: Call, plan: ChangePlan): Promise<Reply> {
  const repeated = await app.store.answered(call.id);
  if (repeated !== undefined) return repeated.answer as Reply;
  try {
    return await decideAndStore(app, call, plan);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    // Delivered twice at once: what refuses the second may be what the first has just recorded.
    const first = await app.store.answered(call.id);
    if (first === undefined) throw error;
    return first.answer as Reply;
  }
}

async function decideAndStore(app: App, call: Call, plan: ChangePlan): Promise<Reply> {
  const row = await findRow(app, call);
  return turns.take(row.id, () => changeInTurn(app, call, plan, row));
}

/** Posts to one trip wait for each other here rather than lose races against each other. */
const turns = new Turns();

async function changeInTurn(
  app: App,
  call: Call,
  plan: ChangePlan,
  found: TripRow,
): Promise<Reply> {
  for (let tries = 0; tries < TRIES; tries++) {
    // Read anew: others may have posted while this one waited its turn.
    const row = (await app.store.trip(found.id)) ?? found;
    const loaded = await load(app, row);
    mustAct(loaded.state, call);
    const drafts = await plan.decide(loaded);
    const { after, events } = admitted(app, call, loaded, drafts, plan);
    const answer = await plan.answer({ before: loaded.state, after, events });
    const reply = { ...answer, trip: row.id };
    if (events.length === 0) return reply;
    const result = await app.store.append({
      trip: row.id,
      afterSeq: loaded.state.seq,
      ...(await storedForm(app, {
        before: loaded.state,
        after,
        events,
        nowMs: call.atMs,
        key: call.id,
        reply,
      })),
    });
    if (result.ok) {
      app.changed(row.id);
      return reply;
    }
    if (result.why === 'repeated') return result.answer as Reply;
    if (result.why !== 'conflict') throw new Error(`append refused: ${result.why}`);
  }
  throw new Error(`trip ${found.id}: lost ${TRIES} races in a row`);
}

function admitted(
  app: App,
  call: Call,
  loaded: Loaded,
  drafts: readonly Draft[],
  plan: ChangePlan,
): { after: TripState; events: TripEvent[] } {
  const events = toEvents(app, call, loaded.row.id, loaded.state.seq, drafts);
  if (events.length === 0) return { after: loaded.state, events };
  const result = admit(loaded.row.id, loaded.history, events, call.atMs, loaded.state);
  if (result.ok) return { after: result.value, events };
  throw plan.refuse?.(result.no, loaded) ?? refusalOf(result.no);
}

export function toEvents(
  app: App,
  call: Call,
  trip: string,
  afterSeq: number,
  drafts: readonly Draft[],
): TripEvent[] {
  return drafts.map((draft, i) => ({
    trip,
    seq: afterSeq + 1 + i,
    id: app.ids.event(),
    kind: draft.kind,
    atMs: draft.atMs ?? call.atMs,
    recordedAtMs: call.atMs,
    by: call.actor,
    ...(draft.typed === undefined ? {} : { typed: draft.typed }),
    data: draft.data,
  }));
}

/** A rule's no as it stands. */
export function refusalOf(no: No): Refusal {
  return new Refusal([no.text, ...(no.ways ?? [])]);
}
