import { KeptForecasts } from '../../src/app/forecast/kept.ts';

/**
 * One store of forecasts for all bots of a test process. Tests play the same climbs again and again, and a
 * forecast depends on nothing but its input.
 */
export const FORECASTS = new KeptForecasts(5_000);
