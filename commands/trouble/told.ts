import { phasesToTell, reached } from '../../src/alarm/ladder.ts';
import { FIELD } from '../../src/alarm/who.ts';
import { at, nextPhaseAt } from '../../src/alarm/words/common.ts';
import { troubleLines } from '../../src/alarm/words/trouble.ts';
import type { Call } from '../../src/app/command.ts';
import { personOf } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { openTroubles } from '../../src/trip/conditions.ts';
import { type Trouble, whoWords } from '../../src/trip/kinds/trouble.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';

type How = Trouble['how'];

/** How somebody knows, unless they say: climbers were there, others heard it by radio. */
export function howOf(state: TripState, call: Call, how: How | undefined): How {
  const climber = personOf(state, call.actor.id)?.roles.includes('climber') === true;
  return how ?? (climber ? 'self' : 'radio');
}

/**
 * Of several that stand it has to be said which: a word meant for one must not end another, nor put its
 * call-out off.
 *
 * @throws Refusal with a button for each, where more than one stands
 */
export function mustBeOne(
  state: TripState,
  nowMs: number,
  again: (trouble: Trouble, label: string) => Button,
): void {
  const open = openTroubles(state);
  if (open.length < 2) return;
  throw new Refusal(
    'ambiguous-name',
    [
      'More than one trouble stands. Which is meant? Nothing is noted yet.',
      ...open.flatMap((t) => troubleLines(state, t, nowMs).slice(0, 1)),
    ],
    open.map((t) => again(t, `${whoWords(state, t.who)}: ${t.what}`.slice(0, 70))),
  );
}

/**
 * The open trouble meant: that of a button, by its entry; else the newest of one of those named, else
 * the newest. Throws a Refusal when none is open, or that one is over.
 */
export function troubleMeant(state: TripState, who: readonly string[] = [], seq?: number): Trouble {
  const open = openTroubles(state);
  const found =
    seq === undefined
      ? (open.findLast((t) => t.who.some((id) => who.includes(id))) ?? open.at(-1))
      : open.find((t) => t.seq === seq);
  if (found !== undefined) return found;
  if (seq !== undefined) {
    throw new Refusal('button-over', 'That trouble is over already; nothing is changed.');
  }
  throw new Refusal('no-trouble', [
    'No trouble is open on this trip.',
    ['To tell of one: ', { code: '/trouble report what:' }],
  ]);
}

/** Who hears of it at once, and what follows if nothing more is told. */
export function toldLines(state: TripState, nowMs: number): Line[] {
  const groups = new Set([
    ...reached(state).keys(),
    ...phasesToTell(state, nowMs).flatMap((r) => r.to),
  ]);
  const names = [...groups].flatMap((id) => (id === FIELD ? [] : [nameOf(state, id)]));
  const next = nextPhaseAt(state, 'alert');
  const coping = openTroubles(state).every((t) => t.calloutMs === undefined);
  return [
    names.length === 0
      ? 'No contact at home can be told: call for help yourselves if you need it.'
      : `Being told now: ${names.join(', ')}.`,
    ...(coping && next !== undefined && next.atMs > nowMs
      ? [
          [
            'Without another word by ',
            at(state, next.atMs, nowMs),
            ' a call-out is asked for: ',
            { code: '/trouble update' },
          ] as Line,
        ]
      : []),
  ];
}
