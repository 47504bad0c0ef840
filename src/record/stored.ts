import type { App, Change } from '../app/app.ts';
import type { Reply } from '../say/reply.ts';
import type { Append } from '../store/port.ts';
import { members } from './membership.ts';

/** A change as the store keeps it: the events with their answer, and what follows from them, in one go. */
export async function storedForm(
  app: App,
  change: Change & { key: string; reply: Reply },
): Promise<Omit<Append, 'trip' | 'afterSeq'>> {
  const { after, events, key, reply } = change;
  return {
    key,
    events,
    answer: reply,
    members: members(after),
    status: after.phase === 'closed' ? 'closed' : 'open',
    name: after.name,
    ...(await app.derive(change)),
  };
}
