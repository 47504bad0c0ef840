/** What may happen in a schedule, as plain data that fast-check makes and shrinks. */
import fc from 'fast-check';
import type { Fault, WayName } from './world.ts';

export type Op =
  | { op: 'pass'; min: number }
  | { op: 'word'; agoMin: number; twice: boolean }
  | { op: 'strike' }
  | { op: 'promise'; inMin: number }
  | { op: 'move'; down?: number | undefined; callout?: number | undefined }
  | { op: 'delays'; told: number; overdue: number; pal: boolean }
  | { op: 'ack'; who: 'Dana' | 'Greta' | 'Pål' }
  | { op: 'called' }
  | { op: 'fault'; way: WayName; fault: Fault }
  | { op: 'mend' }
  | { op: 'crash'; when: 'before' | 'after'; downMin: number }
  | { op: 'stop'; downMin: number }
  | { op: 'setClock'; byMin: number }
  | { op: 'down' };

export interface Schedule {
  down?: number | undefined;
  callout?: number | undefined;
  ops: Op[];
}

const ways: readonly WayName[] = ['channel', 'dm:dana', 'email:dana', 'email:pal'];
const faults: readonly Fault[] = ['never', 'later', 'slow-then-fault'];

const op: fc.Arbitrary<Op> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.record({
      op: fc.constant('pass' as const),
      min: fc.integer({ min: 1, max: 400 }),
    }),
  },
  {
    weight: 4,
    arbitrary: fc.record({
      op: fc.constant('word' as const),
      agoMin: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 240 })),
      twice: fc.boolean(),
    }),
  },
  { weight: 1, arbitrary: fc.record({ op: fc.constant('strike' as const) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      op: fc.constant('promise' as const),
      inMin: fc.integer({ min: 5, max: 600 }),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      op: fc.constant('move' as const),
      down: fc.option(fc.integer({ min: 10, max: 600 }), { nil: undefined }),
      callout: fc.option(fc.integer({ min: 60, max: 900 }), { nil: undefined }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      op: fc.constant('delays' as const),
      told: fc.integer({ min: 5, max: 60 }),
      overdue: fc.integer({ min: 60, max: 240 }),
      pal: fc.boolean(),
    }),
  },
  {
    weight: 2,
    arbitrary: fc.record({
      op: fc.constant('ack' as const),
      who: fc.constantFrom('Dana' as const, 'Greta' as const, 'Pål' as const),
    }),
  },
  { weight: 1, arbitrary: fc.record({ op: fc.constant('called' as const) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      op: fc.constant('fault' as const),
      way: fc.constantFrom(...ways),
      fault: fc.constantFrom(...faults),
    }),
  },
  { weight: 2, arbitrary: fc.record({ op: fc.constant('mend' as const) }) },
  {
    weight: 2,
    arbitrary: fc.oneof(
      fc.record({
        op: fc.constant('crash' as const),
        when: fc.constant('before' as const),
        downMin: fc.integer({ min: 0, max: 500 }),
      }),
      // After the send and before the mark: a restart within the nonce's few minutes shows it once.
      fc.record({
        op: fc.constant('crash' as const),
        when: fc.constant('after' as const),
        downMin: fc.integer({ min: 0, max: 1 }),
      }),
    ),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      op: fc.constant('stop' as const),
      downMin: fc.integer({ min: 1, max: 900 }),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({
      op: fc.constant('setClock' as const),
      byMin: fc.oneof(fc.integer({ min: -300, max: -2 }), fc.integer({ min: 2, max: 300 })),
    }),
  },
  { weight: 1, arbitrary: fc.record({ op: fc.constant('down' as const) }) },
);

export const schedules: fc.Arbitrary<Schedule> = fc.record({
  down: fc.option(fc.integer({ min: 60, max: 900 }), { nil: undefined }),
  callout: fc.option(fc.integer({ min: 901, max: 1500 }), { nil: undefined }),
  ops: fc.array(op, { minLength: 3, maxLength: 30 }),
});
