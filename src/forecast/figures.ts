import type { TripState } from '../trip/state.ts';
import { checkSettings, resolveSettings, type Settings } from './defaults.ts';

/** The figures behind the forecast: the party's own where they are usable, else ours. */
export function figuresOf({ settings }: Pick<TripState, 'settings'>): Settings {
  return resolveSettings(usable(settings.pace));
}

/** Figures of an imported record may be out of range; those go back to the default. */
export function usable(pace: Readonly<Record<string, number>>): Record<string, number> {
  const wrong = new Set(checkSettings(pace).map((problem) => problem.name));
  return Object.fromEntries(Object.entries(pace).filter(([name]) => !wrong.has(name)));
}
