import { saidBy, waysTo } from '../alarm/consent.ts';
import { wordsOf } from '../alarm/words/home.ts';
import { personById, type TripState } from '../trip/state.ts';
import type { WayName } from './lanes.ts';
import type { Envelope, WatchParts } from './ports.ts';

type Answered = Pick<Envelope, 'message' | 'asked' | 'leave' | 'replyTo' | 'language'>;

/** Where whoever gets a message answers it. */
export type Answering = Pick<WatchParts, 'ownPage' | 'asked' | 'answersAt'>;

/**
 * A message with what its reader needs to answer it without the chat: their own page, and by mail where they
 * leave. Whoever has not agreed to be contact gets where they say yes or no, and nothing that shows the trip.
 *
 * @param leaving whether they are asked if they really want to leave
 */
export async function withAnswers(
  { ownPage, asked, answersAt }: Answering,
  state: TripState,
  { to, leaving }: { to: string; leaving: boolean },
  by: WayName,
  message: Envelope['message'],
): Promise<Answered> {
  const person = personById(state, to);
  if (person?.roles.includes('contact') !== true) return { message };
  const w = wordsOf(person);
  const language = { language: w.language };
  // Of several browsers one that has said yes speaks for all that are sent to.
  const ways = waysTo(state, person).filter((w) => w.way === by);
  const way = ways.find((w) => saidBy(state, w) === 'yes') ?? ways[0];
  if (way === undefined) return { message, ...language };
  const answer = asked?.(state.id, way);
  const mailed =
    by === 'email' ? await answersAt?.(state.id, { person: to, to: way.to }) : undefined;
  const replyTo = mailed === undefined ? {} : { replyTo: mailed };
  if (saidBy(state, way) !== 'yes' || leaving) {
    const asks = answer === undefined ? {} : { asked: answer };
    return { message, ...asks, ...replyTo, ...language };
  }
  const leave = by === 'email' && answer?.url !== undefined ? { leave: answer.url } : {};
  if (ownPage === undefined) return { message, ...leave, ...replyTo, ...language };
  const url = await ownPage(state.id, to);
  const links = [{ label: w.text('mail.yourPage'), url }];
  return { message: { ...message, links }, ...leave, ...replyTo, ...language };
}
