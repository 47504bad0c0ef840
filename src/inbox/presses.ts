import { noticeData } from '../alarm/notice.ts';
import type { Store } from '../store/port.ts';

/** What the mail that is answered would have offered to press. */
export interface Pressed {
  /** The entry that the buttons would belong to: of an alarm, or of the call-out. */
  alarm?: number;
  drill?: true;
  /** It was a mail of ours that asks for no such answer. */
  other?: true;
  /** It told how an alarm ended, up to this entry: whoever called the rescue service answers that it knows. */
  ended?: number;
}

/**
 * What a mail answers, by the ids of the mails before it: an answer belongs to its alarm, as a button does. Empty
 * where the program that sent it left them out, or it answers an answer: then it speaks of what stands.
 */
export async function pressesOf(
  store: Pick<Store, 'notices'>,
  trip: string,
  answers: readonly string[],
): Promise<Pressed> {
  const nonces = new Set(answers.map((id) => id.replace(/^<|@.*$/gu, '')));
  if (nonces.size === 0) return {};
  const row = (await store.notices(trip)).findLast(({ nonce }) => nonces.has(nonce));
  const data = noticeData.safeParse(row?.data);
  if (!data.success) return {};
  const { what } = data.data;
  switch (what.kind) {
    case 'drill':
      return { drill: true };
    case 'phase':
    case 'early':
      return { alarm: what.raised };
    case 'standdown':
      return { alarm: what.call };
    case 'ended':
      return { other: true, ended: what.seq };
    default:
      return { other: true };
  }
}
