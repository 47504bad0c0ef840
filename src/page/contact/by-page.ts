import { wordsOf } from '../../alarm/words/home.ts';
import { inTheirWords } from '../../app/toward.ts';
import type { Call } from '../../record/call.ts';
import { pageUser } from '../../record/membership.ts';
import { Refusal } from '../../say/refusal.ts';
import type { Reply } from '../../say/reply.ts';
import type { Opened } from './own.ts';

/** Whose page it is, and when they did something on it. */
export type ByPage = Pick<Opened, 'row' | 'person' | 'nowMs' | 'locale'>;

/**
 * What somebody did on a page that is theirs, as a call of their own.
 *
 * @param once of the form that they sent: the same one twice is one call
 */
export function callByPage({ row, person, nowMs, locale }: ByPage, once: string): Call {
  return {
    id: `page:${once}`,
    atMs: nowMs,
    actor: { id: pageUser(person), name: person.name },
    ...(locale === undefined ? {} : { locale }),
    where: { channel: row.channel, direct: true },
    trip: row.id,
  };
}

/** Does what a form asks for; a refusal is said in their language. */
export async function doneByPage(
  who: ByPage,
  once: string,
  act: (call: Call) => Promise<Reply>,
): Promise<Reply> {
  try {
    return await act(callByPage(who, once));
  } catch (error) {
    if (error instanceof Refusal) {
      return inTheirWords(wordsOf(who.person, who.locale), error.reply());
    }
    throw error;
  }
}
