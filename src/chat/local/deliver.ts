import type { Envelope, Sent, Ways } from '../../delivery/ports.ts';
import type { LocalChannel } from './channel.ts';

/** Shows what the watch has to say in the local channel, and what goes to one person beside it. */
export function localWays(channel: LocalChannel): Ways {
  const show = async (
    by: string,
    envelope: Envelope,
    person?: { id: string; name: string },
  ): Promise<Sent> => {
    await channel.notify({
      reply: envelope.message,
      trip: envelope.trip,
      by,
      ...(person === undefined ? {} : { person }),
    });
    return { ok: true, receipt: envelope.nonce };
  };
  return {
    channel: async (_channel, envelope) => show('channel', envelope),
    dm: async ({ account, name }, envelope) =>
      show('direct message', envelope, { id: account, name }),
    // Without a mail server a rehearsal shows the mail instead; with one, main puts the real way here.
    email: async ({ name }, envelope) =>
      show('e-mail', envelope, { id: `local:${name.toLowerCase()}`, name }),
    phone: async ({ name }, envelope) =>
      show('phone', envelope, { id: `local:${name.toLowerCase()}`, name }),
  };
}
