import type { Line } from '../../say/reply.ts';
import { openRetreat } from '../../trip/kinds/retreat.ts';
import { modeOf } from '../../trip/mode.ts';
import { isSplit, partsOf } from '../../trip/parts.ts';
import { type Home, when, whoIn } from './home.ts';

/** What the party does now, as somebody at home understands it; and that they go in parts, where they do. */
export function modeIn(h: Home): Line {
  const { w, state, nowMs } = h;
  const one = oneMode(h);
  const over = state.downAtMs !== undefined || state.closedAtMs !== undefined;
  if (over || !isSplit(state)) return one;
  const parts = partsOf(state).map((p) => whoIn(w, state, p.who));
  return [...whole(one), ' ', ...whole(w.say('mode.parts', { parts: parts.join(' · ') }))];

  function whole(line: Line) {
    return typeof line === 'string' ? [line] : line;
  }

  function oneMode(own: Home): Line {
    const mode = modeOf(state, nowMs);
    const count = {
      done: state.pitches.filter((p) => p.done !== undefined).length,
      all: state.pitches.length,
    };
    switch (mode.is) {
      case 'preparing':
        return w.say('mode.preparing');
      case 'going in':
        return w.say('mode.goingIn', { when: when(own, mode.sinceMs) });
      case 'climbing':
        return w.say('mode.climbing', count);
      case 'settled':
        return w.say('mode.settled', { when: when(own, mode.night.sinceMs) });
      case 'waiting':
        return w.say('mode.waiting', { ...count, when: when(own, mode.sinceMs) });
      case 'retreating':
        return w.say('mode.retreating', {
          when: when(own, openRetreat(state)?.sinceMs ?? mode.retreat.sinceMs),
        });
      case 'going down':
        return w.say('mode.goingDown');
      case 'down':
        return w.say('mode.down', { when: when(own, mode.atMs) });
      case 'closed':
        return w.say('mode.closed', { when: when(own, mode.atMs) });
    }
  }
}
