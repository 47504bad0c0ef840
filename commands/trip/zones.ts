import type { Suggest } from '../../src/app/command.ts';

/** Zones of the tz database whose name contains what was typed; those that begin with it first. */
export const suggestZones: Suggest = async (_call, typed) => {
  const want = typed.trim().toLowerCase().replaceAll(' ', '_');
  const rank = (zone: string) =>
    zone.toLowerCase().startsWith(want) || zone.toLowerCase().includes(`/${want}`) ? 0 : 1;
  return Intl.supportedValuesOf('timeZone')
    .filter((zone) => zone.toLowerCase().includes(want))
    .sort((a, b) => rank(a) - rank(b) || a.localeCompare(b))
    .slice(0, 25)
    .map((zone) => ({ name: zone, value: zone }));
};
