import type { Call } from '../record/call.ts';
import { change } from '../record/change.ts';
import type { Words } from '../say/contact/words.ts';
import type { Reply } from '../say/reply.ts';
import { findZone } from '../time/find-zone.ts';
import type { Person } from '../trip/people.ts';
import type { App } from './app.ts';

/** A contact says by a city where they wait, or, by nothing, that the wall's time is enough for them. */
export async function keepClock(
  app: App,
  call: Call,
  { id }: Pick<Person, 'id'>,
  { typed, w }: { typed: string; w: Words },
): Promise<Reply> {
  const text = typed.trim();
  const found = text === '' ? undefined : findZone(text);
  if (found?.ok === false) {
    const may = found.may.slice(0, 5).join(', ');
    const lines = [w.say('family.unknown', { text })];
    return {
      refused: true,
      lines: may === '' ? lines : [...lines, w.say('family.may', { places: may })],
    };
  }
  const zone = found?.zone ?? null;
  return change(app, call, {
    decide: () => [{ kind: 'roster.edited', data: { id, patch: { zone } } }],
    answer: () => ({ lines: [w.say(zone === null ? 'page.clockWall' : 'page.clockKept')] }),
  });
}
