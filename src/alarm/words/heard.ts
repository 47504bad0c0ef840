import { walkMin } from '../../forecast/walking/din33466.ts';
import { ENGLISH, type Words } from '../../say/contact/words.ts';
import type { Line } from '../../say/reply.ts';
import type { Fact } from '../../trip/fact.ts';
import { openRetreat } from '../../trip/kinds/retreat.ts';
import type { TripState } from '../../trip/state.ts';
import { ropeMarks, ropesBelow, ropesOf } from '../../trip/two-ropes.ts';
import type { Sign } from '../../trip/watch-state.ts';
import { type Home, lengthIn, when, whoIn } from './home.ts';

/**
 * What was heard, as somebody at home understands it: the top and the way down instead of the number of a pitch, a
 * retreat as coming down, with since when. Words that were typed stand in quotation marks.
 */
export function heardIn(h: Home, sign: Sign): Line {
  const { w, state } = h;
  const top = topIn(w, state, sign);
  if (top !== undefined) return top;
  const retreat = openRetreat(state);
  if (retreat === undefined || sign.atMs < retreat.sinceMs) return signIn(w, state, sign);
  const since = { when: when(h, retreat.sinceMs) };
  // A retreat is a sign of life, and no word that all are well.
  const first = w.say('heard.downSince', since);
  if (sign.seq === retreat.seq) return first;
  return w.say('heard.more', { first, more: signIn(w, state, sign) });
}

/** Who reached the top with that post; undefined where nobody did. They go down when all are up. */
function topIn(w: Words, state: TripState, sign: Sign): string | undefined {
  const behind = state.ropeMarks.find((m) => m.seq === sign.seq);
  if (behind !== undefined && behind.pitch === state.pitches.length) {
    const top = w.text('heard.topAlso', { who: ropeIn(w, state, behind.rope) });
    return ropesBelow(state).length === 0 ? withWay(w, state, top) : top;
  }
  if (state.pitches.at(-1)?.done?.seq !== sign.seq) return undefined;
  return ropeMarks(state).length > 0
    ? w.text('heard.topOf', { who: ropeIn(w, state, 1) })
    : withWay(w, state, w.text('heard.top'));
}

function ropeIn(w: Words, state: TripState, rope: number): string {
  return whoIn(w, state, ropesOf(state)[rope - 1] ?? []);
}

/** The party's own figure for the way down, or by the walking rule; nothing where neither is given. */
function withWay(w: Words, { settings: s }: TripState, what: string): string {
  if (s.descentMin !== undefined) {
    return w.text('heard.way', { what, time: lengthIn(w, s.descentMin) });
  }
  if (s.descentKm === undefined) return what;
  const min = walkMin({ km: s.descentKm, upM: s.descentUpM ?? 0, downM: s.descentDownM ?? 0 });
  return w.text('heard.wayRule', { what, time: lengthIn(w, Math.ceil(min / 5) * 5) });
}

/** Whether what is said of a sign names a pitch, which nobody at home need know the meaning of. */
export function namesPitch(state: TripState, sign: Sign): boolean {
  if (topIn(ENGLISH, state, sign) !== undefined) return false;
  const kind = state.entries.find(({ event }) => event.seq === sign.seq)?.event.kind ?? '';
  return /^(?:pitch|rope|retreat)\.(?!stopped|began)|^bivy\.settled$/u.test(kind);
}

/** One sign of life by what it was, not as the log words it. */
export function signIn(w: Words, state: TripState, sign: Sign): string {
  const fact = state.entries.find(({ event }) => event.seq === sign.seq)?.event;
  return fact === undefined ? w.text('heard.other') : factIn(w, state, fact);
}

function factIn(w: Words, state: TripState, fact: Fact): string {
  const all = state.pitches.length;
  const of = (who: readonly string[] | undefined, what: string) =>
    who === undefined ? what : w.text('heard.of', { who: whoIn(w, state, who), what });
  switch (fact.kind) {
    case 'trip.departed':
      return w.text('heard.departed');
    case 'pitch.started':
      return w.text('heard.started', { n: fact.data.pitch, all });
    case 'pitch.fixed':
      return w.text('heard.fixed', { n: fact.data.pitch, all });
    case 'pitch.done':
      return w.text('heard.done', { n: fact.data.pitch, all });
    case 'rope.done':
      return w.text('heard.doneRope', {
        who: ropeIn(w, state, fact.data.rope),
        n: fact.data.pitch,
        all,
      });
    case 'pitch.break':
      return w.text('heard.break', { n: fact.data.pitch, all });
    case 'bivy.settled':
      return fact.data.pitch === 0
        ? w.text('heard.settledGround')
        : w.text('heard.settled', { n: fact.data.pitch, all });
    case 'bivy.left':
      return w.text('heard.left');
    case 'party.out':
      return of(fact.data.who, w.text('heard.out'));
    case 'wait.began': {
      const { why, words } = fact.data;
      const what = w.text(why === 'weather' ? 'heard.waitingWeather' : 'heard.waiting');
      return words === undefined ? what : w.text('heard.waitingWords', { what, words });
    }
    case 'wait.ended':
      return w.text('heard.waitOver');
    case 'retreat.began': {
      const { pitch: n, who } = fact.data;
      return of(who, n === 0 ? w.text('heard.retreatGround') : w.text('heard.retreat', { n }));
    }
    case 'retreat.rappelled': {
      const { station: n, who } = fact.data;
      return of(who, n === 0 ? w.text('heard.rappelledGround') : w.text('heard.rappelled', { n }));
    }
    case 'retreat.stopped':
      return of(fact.data.who, w.text('heard.climbingOn'));
    case 'descent.reached':
      return w.text(POINT[fact.data.point]);
    case 'watch.ok': {
      const { words, place, who } = fact.data;
      const what =
        words === undefined
          ? w.text(who === undefined ? 'heard.well' : 'heard.wellOne')
          : w.text('heard.words', { words });
      return of(who, place === undefined ? what : w.text('heard.at', { what, place }));
    }
    default:
      return w.text('heard.other');
  }
}

const POINT = { 'off-top': 'heard.offTop', foot: 'heard.foot', stop: 'heard.stop' } as const;
