const MINUTE = 60_000;

/**
 * Light under a horizon that isn't flat: dawn so many minutes later, dusk so many earlier. Noon stays light: a day has
 * two minutes of light at least. A day without dawn or dusk stays as it is.
 */
export function underHorizon<T extends { dawnMs?: number; duskMs?: number }>(
  light: T,
  horizonMin: number,
): T {
  const { dawnMs, duskMs } = light;
  if (dawnMs === undefined || duskMs === undefined) return light;
  const most = Math.max(0, (duskMs - dawnMs) / 2 - MINUTE);
  const by = Math.min(horizonMin * MINUTE, most);
  return { ...light, dawnMs: dawnMs + by, duskMs: duskMs - by };
}
