import type { Forecast } from '../forecast/model.ts';
import type { FileOut } from '../say/reply.ts';
import type { TripState } from '../trip/state.ts';
import type { App } from './app.ts';

/** Draws a trip: height against time. A port, because drawing stands above the use cases. */
export interface Pictures {
  /** A PNG with alt text; undefined where there is nothing to draw or nobody to see it. Takes tens of milliseconds, most of them beside the event loop. */
  file(
    state: TripState,
    forecast: Forecast | undefined,
    nowMs: number,
  ): Promise<FileOut | undefined>;
  /** The same in plain text, at most `width` columns. */
  text(
    state: TripState,
    forecast: Forecast | undefined,
    nowMs: number,
    width: number,
  ): readonly string[];
}

/** Where nobody sees pictures. */
export const NO_PICTURES: Pictures = { file: async () => undefined, text: () => [] };

/** The picture to go with an answer, when there is one. An answer never fails because its picture does. */
export async function pictured(
  app: Pick<App, 'pictures' | 'log'>,
  state: TripState,
  forecast: Forecast | undefined,
  nowMs: number,
): Promise<{ files?: readonly FileOut[] }> {
  try {
    const file = await app.pictures.file(state, forecast, nowMs);
    return file === undefined ? {} : { files: [file] };
  } catch (error) {
    app.log.error({ err: error, trip: state.id }, 'picture failed');
    return {};
  }
}
