import type { Words } from '../../say/contact/words.ts';
import type { Line } from '../../say/reply.ts';
import { nameOf, type TripState } from '../../trip/state.ts';
import type { Raised } from '../../trip/watch-state.ts';
import { type Expectation, isAbout, unmet } from '../expectations.ts';
import { concerned, handOf, hasInHand, hasLeft } from '../repeats.ts';
import { FIELD } from '../who.ts';
import { numberIn, when } from './home.ts';

/** What the words of a phase depend on. */
export interface PhaseContext {
  /** The reader's language; English in the channel. */
  w: Words;
  state: TripState;
  raised: Raised;
  /** `field`, or the id of the person who reads this. */
  to: string;
  nowMs: number;
  /** The nth repeat. */
  repeat?: number | undefined;
  /** The entry by which they had it in hand, which has lapsed. */
  lapsed?: number | undefined;
  /** It had ended, and what ended it was taken back. */
  reopened?: boolean | undefined;
  /** This person is told instead of another who can't be reached. */
  instead?: string | undefined;
}

/** What goes before the words of a phase: that it stands again, in whose place it is told, who has it. */
export function before(c: PhaseContext): Line[] {
  const { w, state, reopened, instead, repeat } = c;
  return [
    ...(reopened === true ? [w.say('phase.reopened')] : []),
    ...(instead === undefined
      ? []
      : [
          instead === FIELD
            ? w.say('phase.insteadChannel')
            : w.say('phase.instead', { who: nameOf(state, instead) }),
        ]),
    ...(repeat === undefined ? [] : [w.say('phase.again', { why: whyStands(c) }), ...inHand(c)]),
  ];
}

const STANDS = {
  silence: 'nothing was heard since',
  trouble: 'nobody has said since that it is over',
} as const;

/** Why it still stands: of trouble something was heard, and that is why. */
function whyStands({ state, raised }: PhaseContext): 'silence' | 'trouble' {
  const trouble = unmet(state).find((e) => isAbout(raised, e))?.trouble;
  return trouble === undefined ? 'silence' : 'trouble';
}

/** Whoever took it in hand and how long ago, for the others; and whether that still counts. */
function inHand(c: PhaseContext): Line[] {
  const { w, state, raised, to } = c;
  return concerned(state, raised).flatMap((group): Line[] => {
    const known = group === to || hasLeft(state, group);
    const hand = known ? undefined : handOf(state, group, raised);
    if (hand === undefined) return [];
    const lapsed = hasInHand(state, group, raised, c.nowMs) ? 'no' : 'yes';
    const since = { when: when(c, hand.atMs), lapsed } as const;
    return [
      group === FIELD
        ? w.say('phase.inHandChannel', since)
        : w.say('phase.inHand', { ...since, who: nameOf(state, group) }),
    ];
  });
}

/** Taken in hand, and nothing was heard since: what has come of it is asked, and then why. */
export function lapsedLines(c: PhaseContext): Line[] {
  const { w, state, raised, lapsed, to } = c;
  const hand = state.watch.acks.find((a) => a.seq === lapsed);
  if (hand === undefined) return [];
  const said = { when: when(c, hand.atMs), why: whyStands(c) };
  return [
    raised.phase === 'distress'
      ? w.say('phase.lapsedCall', { number: numberIn(w, state) })
      : w.say('phase.lapsedAsk'),
    to === FIELD
      ? ['It was taken in hand here at ', said.when, `; ${STANDS[said.why]}.`]
      : w.say('phase.lapsed', said),
  ];
}

/** That it comes late, because nobody watched. */
export function outage(c: PhaseContext): Line[] {
  if (c.raised.outage === undefined) return [];
  const { fromMs, toMs } = c.raised.outage;
  return [c.w.say('phase.outage', { from: when(c, fromMs), to: when(c, toMs) })];
}

type Root = Pick<Expectation, 'kind' | 'about' | 'of' | 'who'>;

/** What an alarm is about. */
export function rootOf({ state, raised }: PhaseContext): Root {
  return unmet(state).find((e) => isAbout(raised, e)) ?? { kind: 'again' };
}
