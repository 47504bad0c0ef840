import fc from 'fast-check';
import { admit } from '../../src/trip/admit.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { fold, folded } from '../../src/trip/fold.ts';
import type { No } from '../../src/trip/rules/no.ts';
import { currentPitch } from '../../src/trip/state.ts';
import { at, events, joined, MINUTE, NOW_MS, type Post, pitchOf, setUp } from './build.ts';

const PEOPLE = ['mara', 'jonas', 'ines', 'greta'];
/** Small ranges, so that posts meet: one too many each way. */
const number = fc.integer({ min: 1, max: 5 });
const who = fc.constantFrom(...PEOPLE, 'nobody');
const some = fc.constantFrom(['jonas'], ['mara'], ['mara', 'ines']);
const time = fc.integer({ min: 0, max: 24 }).map((quarter) => at(6, quarter * 15));
const maybe = <T>(arb: fc.Arbitrary<T>) => fc.option(arb, { nil: undefined });

type MarkKind = 'pitch.started' | 'pitch.fixed' | 'pitch.done';

/** A post; what comes next on the wall; or a strike or amendment of the n-th entry there is. */
export type Move =
  | { post: Post }
  | { next: MarkKind; afterMin: number }
  | { strike: number }
  | { amend: number; change: { atMs?: number; pitch?: number; leader?: string } };

const post = (kind: string, data: fc.Arbitrary<object>): fc.Arbitrary<Post> =>
  fc.record({ atMs: time, data }).map(({ atMs, data: d }) => ({ kind, atMs, data: defined(d) }));

function defined(data: object): object {
  return Object.fromEntries(Object.entries(data).filter(([, v]) => v !== undefined));
}

/** What takes place on the wall: its order of telling doesn't matter. */
export const wallPost: fc.Arbitrary<Post> = fc.oneof(
  { weight: 3, arbitrary: post('pitch.started', fc.record({ pitch: number, leader: maybe(who) })) },
  { weight: 3, arbitrary: post('pitch.fixed', fc.record({ pitch: number })) },
  { weight: 6, arbitrary: post('pitch.done', fc.record({ pitch: number, leader: maybe(who) })) },
  post('pitch.break', fc.record({ pitch: number, minutes: fc.integer({ min: 1, max: 40 }) })),
  post('trip.departed', fc.constant({})),
  post('trip.down', fc.constant({})),
  post('rain.started', fc.constant({})),
  post('rain.stopped', fc.constant({})),
  post('bivy.settled', fc.record({ pitch: number })),
  post('bivy.left', fc.constant({})),
  post('rain.dry', fc.constant({ said: 'the warden' })),
  post('retreat.began', fc.record({ pitch: fc.integer({ min: 0, max: 5 }) })),
  post('retreat.rappelled', fc.record({ station: fc.integer({ min: 0, max: 4 }) })),
  post('retreat.stopped', fc.constant({})),
  post('descent.reached', fc.record({ point: fc.constantFrom('off-top', 'foot', 'stop') })),
  post('wait.began', fc.constantFrom({ why: 'weather' }, { why: 'other', untilMs: at(10) })),
  post('wait.ended', fc.constant({})),
);

/** Who goes with whom, and who comes down alone. */
export const partyPost: fc.Arbitrary<Post> = fc.oneof(
  post('party.split', fc.record({ who: some })),
  post('party.joined', fc.record({ who: fc.constantFrom([], ['mara', 'jonas']) })),
  post('party.out', fc.record({ who: some })),
  post('retreat.began', fc.record({ pitch: fc.integer({ min: 0, max: 5 }), who: some })),
  post('watch.ok', fc.record({ how: fc.constant('radio'), who: some })),
);

/** The plan and the people. */
export const planPost: fc.Arbitrary<Post> = fc.oneof(
  post('lead.assigned', fc.record({ pitch: number, leader: who })),
  post('lead.cleared', fc.record({ pitch: number })),
  post('lead.linked', fc.record({ first: number })),
  post('lead.unlinked', fc.record({ first: number })),
  post('roster.removed', fc.record({ id: who })),
  post(
    'roster.edited',
    fc.record({
      id: who,
      patch: fc.constantFrom(
        ...[{ leads: false }, { leads: true }, { roles: ['ground'] }, { roles: ['climber'] }],
      ),
    }),
  ),
  who.map((id) => joined(id, at(7))),
  post(
    'topo.set',
    fc.record({ pitch: fc.record({ number, lengthM: fc.constantFrom(20, 30, 45) }) }),
  ).map((p) => {
    const { pitch } = p.data as { pitch: { number: number; lengthM: number } };
    return { ...p, data: { pitch: pitchOf(pitch.number, pitch) } };
  }),
  post('topo.removed', fc.record({ number })),
  post(
    'topo.loaded',
    number.map((n) => ({ pitches: Array.from({ length: n }, (_, i) => pitchOf(i + 1)) })),
  ),
  post('trip.edited', fc.constantFrom({ settings: { leadLineM: 50 } }, { units: 'ft' })),
  post(
    'trip.opened',
    fc.constant({ name: 'Again', zone: 'UTC', place: {}, units: 'm', confidence: 0.9 }),
  ),
);

export const move: fc.Arbitrary<Move> = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.record({
      next: fc.constantFrom<MarkKind>('pitch.started', 'pitch.fixed', 'pitch.done'),
      afterMin: fc.constantFrom(-15, 0, 15, 30),
    }),
  },
  { weight: 8, arbitrary: wallPost.map((p) => ({ post: p })) },
  { weight: 4, arbitrary: planPost.map((p) => ({ post: p })) },
  { weight: 2, arbitrary: fc.nat(40).map((n) => ({ strike: n })) },
  {
    weight: 2,
    arbitrary: fc.record({
      amend: fc.nat(40),
      change: fc
        .record({ atMs: maybe(time), pitch: maybe(number), leader: maybe(who) })
        .map(defined),
    }),
  },
);

/** Long enough that a party gets up some pitches. */
export const manyMoves = fc.array(move, { maxLength: 60, size: 'max' });

export const START: readonly Post[] = setUp({ pitches: 4, climbers: ['mara', 'jonas'] });

export function postOf(made: Move, history: readonly Fact[]): Post {
  if ('post' in made) return made.post;
  if ('next' in made) return nextOnTheWall(history, made.next, made.afterMin);
  const index = 'strike' in made ? made.strike : made.amend;
  const target = history[index % history.length]?.id ?? 'none';
  const data = 'strike' in made ? { target } : { target, ...made.change };
  return { kind: 'strike' in made ? 'log.struck' : 'log.amended', atMs: at(14), data };
}

/** The pitch under way, a little after (or before) the newest mark. */
function nextOnTheWall(history: readonly Fact[], kind: MarkKind, afterMin: number): Post {
  const state = fold('t', history);
  const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done]);
  const lastMs = Math.max(at(6), ...marks.flatMap((m) => (m === undefined ? [] : [m.atMs])));
  const pitch = currentPitch(state)?.number ?? 1;
  return { kind, atMs: lastMs + afterMin * MINUTE, data: { pitch } };
}

export interface Tried {
  history: readonly Fact[];
  event: Fact;
  /** Undefined when it was admitted. */
  no: No | undefined;
}

/** Plays moves through the gate; whatever is refused leaves no trace. */
export function play(moves: readonly Move[], watch: (tried: Tried) => void = () => {}): Fact[] {
  let record = folded('t', events(START));
  for (const made of moves) {
    const { history } = record;
    const [event] = events([postOf(made, history)], history.length) as [Fact];
    const result = admit(record, [event], NOW_MS);
    watch({ history, event, no: result.ok ? undefined : result.no });
    if (result.ok) record = result.value.after;
  }
  return [...record.history];
}
