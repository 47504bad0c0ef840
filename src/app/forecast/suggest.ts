import { DEFAULTS } from '../../forecast/defaults.ts';
import type { Suggest } from '../command.ts';

/** Figures of the forecast, by name or by what they are. */
export const suggestFigures: Suggest = async (_call, typed) => {
  const want = typed.toLowerCase();
  return DEFAULTS.filter((d) => `${d.name} ${d.text}`.toLowerCase().includes(want))
    .slice(0, 25)
    .map((d) => ({ name: `${d.name}: ${d.text}`.slice(0, 100), value: d.name }));
};
