import type { App } from '../../src/app/app.ts';
import { askedWords } from '../../src/app/asking-contacts.ts';
import { undoButton } from '../../src/app/words/post.ts';
import type { Changed } from '../../src/record/change.ts';
import { sameName } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { typedText } from '../../src/say/typed.ts';
import { present, type TripState } from '../../src/trip/state.ts';
import { abilityWords } from './words.ts';

/** One account is one person. */
export function mustBeFree(
  state: TripState,
  fields: { userId?: string | undefined; name: string },
): void {
  const holder = present(state).find((p) => p.userId !== undefined && p.userId === fields.userId);
  if (holder !== undefined && !sameName(holder.name, fields.name)) {
    throw new Refusal(
      'same-person-twice',
      `That account is ${holder.name} on the roster already: /roster edit who:${typedText(holder.name)}`,
    );
  }
}

/** The answer to one person added or edited. It says nothing private. */
export function personWords({ before, after, events: [event] }: Changed, app: App): Reply {
  const id = (event?.data as { id: string } | undefined)?.id;
  const person = after.people.find((p) => p.id === id);
  if (person === undefined || event === undefined) return { lines: ['Nothing changed.'] };
  return {
    lines: [`${person.name}: ${abilityWords(after, person)}.`, ...askedWords(app, before, after)],
    buttons: [undoButton(event.seq)],
    private: true,
  };
}
