import { Refusal } from '../../say/refusal.ts';

/** A trip whose forecast was put down is not tried again for so long, so that it holds up the others only now and then. */
export const AGAIN_MS = 10 * 60_000;

/** The answer where a forecast would take more than it may. */
export function forecastCostly(): Refusal {
  return new Refusal('forecast-costly', [
    'The forecast of this trip takes more time or memory than any that is meant for this; it was put down.',
    `Posts and the watch go on without it; it is tried again in ${AGAIN_MS / 60_000} min. Look for what is odd in the topo (/topo show) and the cutoffs (/cutoff show).`,
  ]);
}

/** What is made of a forecast beside something that matters more; undefined where the forecast would take more than it may. */
export async function unlessCostly<T>(made: Promise<T>): Promise<T | undefined> {
  try {
    return await made;
  } catch (error) {
    if (error instanceof Refusal && error.code === 'forecast-costly') return undefined;
    throw error;
  }
}
