import type { Cutoff } from '../../src/trip/kinds/cutoff.ts';

/** What must have happened by a cutoff: `on top`, `pitch 8 done`. */
export function targetWords(target: Cutoff['target']): string {
  if (typeof target === 'object') return `pitch ${target.pitch} done`;
  return { topout: 'on top', down: 'everyone down', trailhead: 'at the trailhead' }[target];
}
