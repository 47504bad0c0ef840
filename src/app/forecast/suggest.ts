import { DEFAULTS } from '../../forecast/defaults.ts';
import { lookBack } from '../../record/trips.ts';
import type { Suggest } from '../command.ts';

export const suggestCutoffs: Suggest = async (call, typed, app) => {
  const { state } = await lookBack(app, call);
  const want = typed.toLowerCase();
  return state.cutoffs
    .filter((c) => c.label.toLowerCase().includes(want) || c.id.startsWith(want))
    .slice(0, 25)
    .map((c) => ({ name: c.label, value: c.id }));
};

/** Figures of the forecast, by name or by what they are. */
export const suggestFigures: Suggest = async (_call, typed) => {
  const want = typed.toLowerCase();
  return DEFAULTS.filter((d) => `${d.name} ${d.text}`.toLowerCase().includes(want))
    .slice(0, 25)
    .map((d) => ({ name: `${d.name}: ${d.text}`.slice(0, 100), value: d.name }));
};
