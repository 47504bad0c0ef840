import type { Forecast } from '../forecast/model.ts';
import type { TripState } from '../trip/state.ts';
import type { FileOut } from './reply.ts';

/** Draws a trip: height against time. A port, because drawing stands above the use cases. */
export interface Pictures {
  /** A PNG with alt text; undefined without a topo. Takes tens of milliseconds. */
  file(state: TripState, forecast: Forecast | undefined, nowMs: number): FileOut | undefined;
  /** The same in plain text, at most `width` columns. */
  text(
    state: TripState,
    forecast: Forecast | undefined,
    nowMs: number,
    width: number,
  ): readonly string[];
}
