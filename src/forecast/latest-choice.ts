import { compile } from './compile.ts';
import type { ForecastInput } from './model.ts';
import { dayOf, goOnLimit } from './nights.ts';
import { firstOff } from './state.ts';

/** Until when a party at a stance can still choose, epoch milliseconds. */
export interface LatestChoice {
  /**
   * Latest moment of today to go on from here by the rules of the night; past, when it is too late. Undefined
   * where they may go on at any hour.
   */
  onMs: number | undefined;
  /** Evening, least rest and morning work of a night here, minutes; 0 on the ground. */
  nightMin: number;
}

/** Read off the rules that every ascent keeps, at the pace learnt so far. */
export function latestChoice(input: ForecastInput): LatestChoice {
  const { rules, state } = compile(input);
  const limit = goOnLimit(rules, state.leg, dayOf(rules.startMin, 0), 1);
  return {
    onMs:
      limit === Number.POSITIVE_INFINITY
        ? undefined
        : input.nowMs + Math.max(limit, (rules.startMin[0] as number) - 1) * 60_000,
    nightMin: rules.restMin[state.leg] as number,
  };
}

/**
 * When the party goes on from where it is, epoch milliseconds, by the same rules and at the same pace; undefined
 * where no day is left for it.
 */
export function firstOffMs(input: ForecastInput): number | undefined {
  const { rules, state } = compile(input);
  const min = firstOff(rules, state, 1);
  return Number.isFinite(min) ? input.nowMs + min * 60_000 : undefined;
}
