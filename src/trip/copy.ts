import type { TripState } from './state.ts';

/**
 * A state of its own to fold further facts into: everything a fold may change is copied. Entries and signs are
 * left out, because they are worked out anew after each fold.
 */
export function copyOf(state: TripState): TripState {
  const { watch, entries: _told, ...rest } = state;
  const { signs: _signs, ...agreed } = watch;
  return { ...copied(rest), watch: { ...copied(agreed), signs: [] }, entries: [] };
}

function copied<T>(value: T): T;
function copied(value: unknown): unknown {
  if (typeof value !== 'object' || value === null) return value;
  if (Array.isArray(value)) return value.map(copied);
  if (value instanceof Set) return new Set(value);
  if (value instanceof Map) {
    const map = new Map();
    for (const [key, one] of value) map.set(key, copied(one));
    return map;
  }
  const copy: Record<string, unknown> = {};
  for (const key in value) copy[key] = copied((value as Record<string, unknown>)[key]);
  return copy;
}
