/**
 * What stays of each field: all of it, what a function makes of it, or, where a field may be missing, nothing.
 * A field that isn't listed doesn't compile, so that somebody decides about each new one.
 */
export type Kept<T> = {
  readonly [K in keyof T]-?:
    | 'stays'
    | (Record<never, never> extends Pick<T, K> ? 'goes' : never)
    | ((value: Exclude<T[K], undefined>) => T[K]);
};

/** Cuts values down to what stays of them. What isn't listed goes, whatever a value has besides. */
export function only<T extends object>(kept: Kept<T>): (value: T) => T {
  const fields = Object.keys(kept) as (keyof T)[];
  return (value) => {
    const out: Partial<T> = {};
    for (const field of fields) {
      const what: 'stays' | 'goes' | ((value: never) => T[keyof T]) = kept[field];
      const has = value[field];
      if (what === 'goes' || has === undefined) continue;
      out[field] = what === 'stays' ? has : what(has as never);
    }
    // Every field that T asks for is listed, and none of those may go.
    return out as T;
  };
}
