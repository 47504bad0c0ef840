import type { Line } from '../../say/reply.ts';
import { reached } from '../ladder.ts';
import { type Home, lastHeardIn, nextOpen } from './home.ts';

/** Times that are moved while an alarm stands: nobody was heard from by that. */
export function stands(h: Home, to: string): Line[] {
  if (!reached(h.state).has(to)) return [];
  return [h.w.say('ended.still'), lastHeardIn(h), ...nextOpen(h)];
}
