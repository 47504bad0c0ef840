import { phaseNow, reached } from '../alarm/ladder.ts';
import { alarmStands, planSeq, weaker } from '../alarm/weaker.ts';
import { FIELD, names, reachable } from '../alarm/who.ts';
import { bare } from '../say/message.ts';
import type { Button, Line, Reply } from '../say/reply.ts';
import type { Draft } from '../trip/fact.ts';
import { nameOf, type TripState } from '../trip/state.ts';
import type { Call } from './call.ts';
import type { Changed, ChangePlan } from './change.ts';
import { personOf } from './membership.ts';
import { noTrip, type Recorded } from './trips.ts';

/** A change that would weaken the watch, and hasn't been agreed to. */
export class Weakens extends Error {
  readonly lines: readonly Line[];
  readonly drafts: readonly Draft[];

  /**
   * @param lines what it takes away
   * @param drafts what would be recorded
   */
  constructor(lines: readonly Line[], drafts: readonly Draft[]) {
    super('weakens the watch');
    this.lines = lines;
    this.drafts = drafts;
  }
}

/**
 * Lets a change pass that takes nothing from the watch, or that was agreed to as far as it has to be:
 * by one press, and by a second person while an alarm stands.
 *
 * @throws Weakens otherwise
 */
export function mayWeaken(
  { before, after }: Changed,
  { weakens }: Pick<ChangePlan, 'weakens'>,
  drafts: readonly Draft[],
  nowMs: number,
): void {
  if (weakens === 'agreed') return;
  if (weakens === 'confirmed' && !alarmStands(before)) return;
  const lines = weaker(before, after, nowMs);
  if (lines.length > 0) throw new Weakens(lines, drafts);
}

/** Records what was asked for, and asks whoever may agree to it. */
export async function askToAgree(
  app: Recorded,
  call: Call,
  trip: string,
  { lines, drafts }: Weakens,
): Promise<Reply> {
  const written = await app.records.write({
    trip,
    key: call.id,
    nowMs: call.atMs,
    by: call.actor,
    decide: ({ state }) => [
      {
        kind: 'watch.asked',
        data: {
          drafts: drafts.map(({ kind, data, atMs, typed }) => ({
            ...{ kind, data },
            ...(atMs === undefined ? {} : { atMs }),
            ...(typed === undefined ? {} : { typed }),
          })),
          words: lines.map((line) => bare(line).slice(0, 300)),
          plan: planSeq(state),
          ...alarmOf(state),
        },
      },
    ],
    answer: ({ before, after }): Reply => ({
      ...(alarmStands(before) ? second(after, call, lines) : confirm(after, lines)),
      trip,
      refused: true,
    }),
  });
  if (written.outcome === 'refused') throw new Error(`asking was refused: ${written.no.text}`);
  if (written.outcome === 'gone') throw noTrip(call);
  return written.answer as Reply;
}

function alarmOf(state: TripState): { alarm?: number } {
  const raised = phaseNow(state);
  return raised === undefined ? {} : { alarm: raised.seq };
}

function confirm(after: TripState, lines: readonly Line[]): Reply {
  const told = reachable(after);
  return {
    code: 'watch-weaker',
    private: true,
    lines: [
      'This takes something away from the watch; nothing is changed yet.',
      ...lines,
      ...(told.length === 0 ? [] : [`${names(told)} will be told.`]),
    ],
    buttons: [{ ...agreeButton(askedSeq(after)), label: 'Change it' }],
  };
}

function second(after: TripState, call: Call, lines: readonly Line[]): Reply {
  const asker = personOf(after, call.actor.id);
  const asked = [...reached(after).keys()]
    .filter((group) => group !== asker?.id)
    .map((group) => (group === FIELD ? 'the channel' : nameOf(after, group)));
  const climber = asker?.roles.includes('climber') === true;
  return {
    code: 'second-person',
    lines: [
      'An alarm stands, so somebody else of the roster has to agree; nothing is changed yet.',
      ...lines,
      ...(climber ? ['If you are well, say that first: it ends the alarm.'] : []),
      ...(asked.length === 0 ? [] : [`Asked: ${asked.join(', ')}.`]),
    ],
    buttons: [...(climber ? [WE_ARE_WELL] : []), agreeButton(askedSeq(after))],
  };
}

/** What was just asked for; asked twice in a moment it stands there once. */
function askedSeq({ watch }: TripState): number {
  return watch.asked.at(-1)?.seq ?? 0;
}

/** A sign of life by whoever presses it. */
export const WE_ARE_WELL: Button = {
  label: 'We are well',
  tone: 'main',
  press: { path: 'checkin ok', options: {} },
};

/** Agrees to what was asked for in an entry. */
export function agreeButton(entry: number): Button {
  return { label: 'I agree', press: { path: 'overdue agree', options: { entry } } };
}
