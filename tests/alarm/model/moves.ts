/** What may happen to a party and its watch, as plain data that fast-check makes and shrinks. */
import fc from 'fast-check';

export type Move =
  | { do: 'pass'; min: number }
  | { do: 'clock'; byMin: number }
  | { do: 'well'; agoMin: number }
  | { do: 'pitch'; agoMin: number }
  | { do: 'settle' }
  | { do: 'up' }
  | { do: 'retreat' }
  | { do: 'wayDown' }
  | { do: 'plan'; time: 'topoutMs' | 'downMs' | 'calloutMs'; inMin: number | null }
  | { do: 'promise'; inMin: number }
  | { do: 'nightly'; clock: string | null }
  | { do: 'delays'; uncertaintyMin: number; alertMin: number; who?: string | undefined }
  | { do: 'ack'; who: string }
  | { do: 'called' }
  /** A button of the nth-last step that was told, by somebody it may have been told to. */
  | { do: 'press'; button: 'ack' | 'fine' | 'called'; back: number; who: string }
  | { do: 'trouble'; wants: 'callout' | 'cope' }
  | { do: 'over' }
  | { do: 'remove'; who: string }
  | { do: 'strike'; back: number }
  | { do: 'number'; text: string }
  | { do: 'down' }
  | { do: 'close' };

const min = (from: number, to: number) => fc.integer({ min: from, max: to });
const just = <T extends string>(text: T) => fc.constant(text);
/** Mostly just now, sometimes told late. */
const ago = fc.oneof({ weight: 2, arbitrary: fc.constant(0) }, min(1, 600));

const move: fc.Arbitrary<Move> = fc.oneof(
  { weight: 9, arbitrary: fc.record({ do: just('pass'), min: min(1, 900) }) },
  { weight: 3, arbitrary: fc.record({ do: just('well'), agoMin: ago }) },
  { weight: 2, arbitrary: fc.record({ do: just('pitch'), agoMin: ago }) },
  {
    weight: 3,
    arbitrary: fc.record({
      do: just('plan'),
      time: fc.constantFrom('topoutMs' as const, 'downMs' as const, 'calloutMs' as const),
      inMin: fc.option(min(10, 2880)),
    }),
  },
  { weight: 2, arbitrary: fc.record({ do: just('promise'), inMin: min(5, 1500) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      do: just('nightly'),
      clock: fc.option(fc.constantFrom('21:00', '08:00', '02:30')),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({ do: just('ack'), who: fc.constantFrom('dana', 'pal', '@field') }),
  },
  {
    weight: 3,
    arbitrary: fc.record({
      do: just('press'),
      button: fc.constantFrom('ack' as const, 'fine' as const, 'called' as const),
      back: min(0, 5),
      who: fc.constantFrom('dana', 'pal', '@field'),
    }),
  },
  { weight: 2, arbitrary: fc.record({ do: just('strike'), back: min(0, 6) }) },
  fc.record({ do: just('settle') }),
  fc.record({ do: just('up') }),
  fc.record({ do: just('retreat') }),
  fc.record({ do: just('wayDown') }),
  fc.record({
    do: just('delays'),
    uncertaintyMin: min(1, 200),
    alertMin: min(1, 400),
    who: fc.option(fc.constantFrom('dana', 'pal'), { nil: undefined }),
  }),
  fc.record({ do: just('called') }),
  fc.record({ do: just('trouble'), wants: fc.constantFrom('callout' as const, 'cope' as const) }),
  fc.record({ do: just('over') }),
  fc.record({ do: just('remove'), who: fc.constantFrom('dana', 'pal') }),
  fc.record({ do: just('number'), text: fc.constantFrom('911', '112') }),
  fc.record({ do: just('clock'), byMin: fc.oneof(min(-300, -2), min(2, 300)) }),
  fc.record({ do: just('down') }),
  fc.record({ do: just('close') }),
);

/** A trip's history: what was agreed beforehand, and what happened then. */
export const histories = fc.record({
  downMin: fc.option(min(60, 2000), { nil: undefined }),
  calloutMin: fc.option(min(2001, 4000), { nil: undefined }),
  nightly: fc.boolean(),
  moves: fc.array(move, { minLength: 3, maxLength: 22 }),
});

export type History = typeof histories extends fc.Arbitrary<infer T> ? T : never;
