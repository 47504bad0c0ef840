import type { Envelope, Sent, Ways } from '../../delivery/ports.ts';
import type { Reply } from '../../say/reply.ts';
import type { ApiVerdict } from './api-errors.ts';
import type { Outcome, Outgoing, OutgoingMessage, Place } from './outgoing.ts';

/** The watch's messages through Discord: to a channel, and to a person directly. */
export function discordWays(outgoing: Outgoing): Ways {
  return {
    channel: (channel, envelope) =>
      sendWith(envelope, (message) => outgoing.toChannel(channel, message)),
    dm: ({ account }, envelope) =>
      sendWith(envelope, (message) => outgoing.toUser(account, message)),
  };
}

/** From this urgency on nobody has to do anything: a plan, the end of a trip. See alarm/notice.ts. */
const ROUTINE = 5;

/**
 * Sends as it is; then, where Discord refuses the form, without files, then as bare text: a plain
 * alarm is worth more than a refused one. The nonce stays: nothing was shown by what was refused.
 */
async function sendWith(
  { message, nonce, nowMs, trip, urgency = 0 }: Envelope,
  send: (message: OutgoingMessage) => Promise<Outcome<Place>>,
): Promise<Sent> {
  const base = { nonce, nowMs, trip, urgency, silent: urgency >= ROUTINE };
  const { files: _, ...noFiles } = message;
  const bare: Reply = { lines: message.lines };
  const forms: readonly Reply[] = [message, noFiles, bare];
  let last: Outcome<Place> | undefined;
  for (const [i, reply] of forms.entries()) {
    if (i === 1 && message.files === undefined) continue;
    last = await send({ ...base, reply });
    if (last.ok) return { ok: true, receipt: `${last.value.channel}/${last.value.message}` };
    const { fallback } = last.error;
    if (fallback !== 'no-files' && fallback !== 'bare-text') break;
  }
  return last === undefined || last.ok ? FAULT : failed(last.error);
}

const FAULT: Sent = { ok: false, retry: 'later', why: 'fault' };

function failed({ why, retry, fallback, afterMs }: ApiVerdict): Sent {
  // A refused token is the operator's to mend and says nothing of this person.
  if (why === 'token-refused') return { ok: false, retry: 'later', why };
  // Refused even as bare text: the way is no use for this notice, another may be.
  if (retry === 'never' || fallback === 'other-way') return { ok: false, retry: 'never', why };
  return { ok: false, retry: 'later', why, ...(afterMs === undefined ? {} : { afterMs }) };
}
