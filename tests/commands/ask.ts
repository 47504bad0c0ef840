import type { Call, RawArgs } from '../../src/app/command.ts';
import { dispatch } from '../../src/app/dispatch.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { World } from '../helpers/world.ts';

export interface Ask {
  /** Delivery's own id; a fresh one unless a repeat is meant. */
  id?: string;
  user?: string;
  name?: string;
  channel?: string;
  guild?: string;
  direct?: boolean;
  trip?: string;
  manager?: boolean;
  moderator?: boolean;
  silent?: boolean;
}

/** A command as a chat service would hand it over, whatever the channel, server and account. */
export function ask(w: World, from: Ask, path: string, raw: RawArgs = {}): Promise<Reply> {
  const user = from.user ?? '900000000000000001';
  const call: Call = {
    id: from.id ?? w.app.ids.event(),
    atMs: w.clock.wallMs(),
    actor: { id: user, name: from.name ?? `User ${user.slice(-1)}` },
    where: {
      channel: from.channel ?? 'c-1',
      direct: from.direct === true,
      ...(from.guild === undefined ? {} : { guild: from.guild }),
    },
    ...(from.trip === undefined ? {} : { trip: from.trip }),
    ...(from.manager === undefined ? {} : { manager: from.manager }),
    ...(from.moderator === undefined ? {} : { moderator: from.moderator }),
    ...(from.silent === undefined ? {} : { silent: from.silent }),
  };
  return dispatch(w.app, call, path, raw);
}

/** Presses a button of an answer, as the trip's own message would have it. */
export function press(w: World, from: Ask, reply: Reply, label: string): Promise<Reply> {
  const button = reply.buttons?.find((b) => b.label === label);
  if (button === undefined) throw new Error(`no button ${label}`);
  return ask(w, from, button.press.path, button.press.options);
}

export const labels = (reply: Reply) => (reply.buttons ?? []).map((b) => b.label);
