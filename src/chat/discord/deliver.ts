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

/**
 * Sends as it is; then, where Discord refuses the form, without files, then as bare text: a plain
 * alarm is worth more than a refused one. The nonce stays: nothing was shown by what was refused.
 */
async function sendWith(
  { message, nonce, nowMs, trip }: Envelope,
  send: (message: OutgoingMessage) => Promise<Outcome<Place>>,
): Promise<Sent> {
  const base = { nonce, nowMs, trip };
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

function failed({ why, retry, fallback }: ApiVerdict): Sent {
  // A refused token is the operator's to mend and says nothing of this person.
  if (why === 'token-refused') return { ok: false, retry: 'later', why };
  // Refused even as bare text: the way is no use for this notice, another may be.
  if (retry === 'never') return { ok: false, retry: 'never', why };
  return { ok: false, retry: fallback === 'other-way' ? 'never' : 'later', why };
}
