import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import type { Draft, Fact } from '../trip/fact.ts';
import type { No } from '../trip/rules/no.ts';
import type { TripState } from '../trip/state.ts';
import { askToAgree, mayWeaken, Weakens } from './agree.ts';
import type { Call } from './call.ts';
import { mustAct } from './membership.ts';
import type { Loaded } from './records.ts';
import { findRow, noTrip, type Recorded } from './trips.ts';

/** A change that was recorded: the states around it and the new facts. */
export interface Changed {
  before: TripState;
  after: TripState;
  events: readonly Fact[];
}

/** How a command changes a trip. */
export interface ChangePlan {
  /** What is to be recorded. Throws a Refusal when it can't be; no drafts means nothing to change. */
  decide(loaded: Loaded): readonly Draft[] | Promise<readonly Draft[]>;
  /** Asks back what is possible but unlikely: nothing is recorded when it returns a question. */
  ask?(changed: Changed): Refusal | undefined;
  /** The answer, stored with the change and given again on a repeated delivery. */
  answer(changed: Changed): Reply | Promise<Reply>;
  /**
   * What would weaken the watch over a party that is out is asked back first. `confirmed`: that was
   * done by the press that led here. `agreed`: by a second person as well.
   */
  weakens?: 'confirmed' | 'agreed';
  /** Turns a rule's no into a refusal with the right way out; the plain wording when left out. */
  refuse?(no: No, loaded: Loaded): Refusal;
}

/**
 * A change by somebody on the trip's roster. A repeated delivery (same call id) changes nothing and
 * gets the first answer.
 */
export async function change(app: Recorded, call: Call, plan: ChangePlan): Promise<Reply> {
  const repeated = await app.store.answered(call.id);
  if (repeated !== undefined) return repeated.answer as Reply;
  try {
    const { id } = await findRow(app, call);
    return await changeNow(app, call, plan, id);
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    // Delivered twice at once: what refuses the second may be what the first has just recorded.
    const first = await app.store.answered(call.id);
    if (first === undefined) throw error;
    return first.answer as Reply;
  }
}

async function changeNow(
  app: Recorded,
  call: Call,
  plan: ChangePlan,
  trip: string,
): Promise<Reply> {
  try {
    return await changeOrAsk(app, call, plan, trip);
  } catch (error) {
    if (!(error instanceof Weakens)) throw error;
    return askToAgree(app, call, trip, error);
  }
}

async function changeOrAsk(
  app: Recorded,
  call: Call,
  plan: ChangePlan,
  trip: string,
): Promise<Reply> {
  let drafts: readonly Draft[] = [];
  const written = await app.records.write({
    trip,
    key: call.id,
    nowMs: call.atMs,
    by: call.actor,
    async decide(loaded) {
      mustAct(loaded.state, call);
      drafts = await plan.decide(loaded);
      return drafts;
    },
    async answer(changed) {
      const asked = plan.ask?.(changed);
      if (asked !== undefined) throw asked;
      mayWeaken(changed, plan, drafts, call.atMs);
      return { ...(await plan.answer(changed)), trip };
    },
  });
  switch (written.outcome) {
    case 'refused':
      throw plan.refuse?.(written.no, written.loaded) ?? refusalOf(written.no);
    case 'gone':
      throw noTrip(call);
    default:
      return written.answer as Reply;
  }
}

/** A rule's no as it stands. */
export function refusalOf(no: No): Refusal {
  return new Refusal(no.rule, [no.text, ...(no.ways ?? [])]);
}
