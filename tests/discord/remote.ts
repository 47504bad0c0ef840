import { z } from 'zod';
import type { GivenOptions, GivenValue } from './driver/options.ts';
import { Answer, type Stand } from './driver.ts';
import type { StandChannel, StandGuild, StandUser } from './model.ts';

/**
 * The driver by lines of JSON, for a stand-in in a process of its own. People, servers and channels
 * go by the names they were added with.
 */

const value = z.union([
  z.string(),
  z.number(),
  z.boolean(),
  z.strictObject({ user: z.string() }),
  z.strictObject({ file: z.string(), base64: z.string() }),
]);
const options = z.record(z.string(), value).default({});
const by = { user: z.string(), channel: z.string() };

const fault = z.discriminatedUnion('what', [
  z.strictObject({
    what: z.literal('rate-limited'),
    retryAfterS: z.number(),
    scope: z.enum(['user', 'global', 'shared']).default('user'),
  }),
  z.strictObject({
    what: z.literal('status'),
    status: z.int(),
    accepted: z.boolean().default(false),
  }),
  z.strictObject({ what: z.literal('code'), status: z.int(), code: z.int() }),
  z.strictObject({ what: z.enum(['hang', 'reset']), accepted: z.boolean().default(false) }),
]);

const order = z.discriminatedUnion('do', [
  z.strictObject({ do: z.literal('user'), name: z.string() }),
  z.strictObject({
    do: z.literal('guild'),
    name: z.string(),
    members: z.tuple([z.string()], z.string()),
  }),
  z.strictObject({ do: z.literal('channel'), guild: z.string(), name: z.string() }),
  z.strictObject({ do: z.literal('slash'), ...by, path: z.string(), options }),
  z.strictObject({
    do: z.literal('burst'),
    ...by,
    path: z.string(),
    options: z.array(options).min(1),
    count: z.int().min(1),
    atOnce: z.int().min(1).default(1),
    /** Taken in turn instead of `channel`. */
    channels: z.array(z.string()).min(1).optional(),
  }),
  z.strictObject({ do: z.literal('say'), ...by, content: z.string() }),
  z.strictObject({ do: z.literal('sees'), ...by }),
  z.strictObject({
    do: z.literal('press'),
    user: z.string(),
    message: z.string(),
    label: z.string(),
  }),
  z.strictObject({
    do: z.literal('submit'),
    user: z.string(),
    interaction: z.string(),
    fields: z.record(z.string(), z.string()),
  }),
  z.strictObject({ do: z.literal('redeliver'), interaction: z.string() }),
  z.strictObject({
    do: z.literal('fault'),
    route: z.string().optional(),
    times: z.int().default(1),
    fault,
  }),
  z.strictObject({ do: z.literal('no-faults') }),
  z.strictObject({ do: z.literal('close-dm'), user: z.string(), closed: z.boolean() }),
  z.strictObject({
    do: z.literal('trouble'),
    channel: z.string(),
    trouble: z.enum(['gone', 'no-access', 'no-permission', 'archived', 'locked']).optional(),
  }),
  z.strictObject({ do: z.literal('kick'), guild: z.string() }),
  z.strictObject({ do: z.literal('cut') }),
  z.strictObject({ do: z.literal('close'), code: z.int() }),
  z.strictObject({ do: z.literal('raw'), text: z.string() }),
  z.strictObject({ do: z.literal('origin'), origin: z.string() }),
  z.strictObject({ do: z.literal('reconnect') }),
  z.strictObject({
    do: z.literal('gateway'),
    acknowledging: z.boolean().optional(),
    deaf: z.boolean().optional(),
    refusingResumes: z.int().optional(),
  }),
  z.strictObject({ do: z.literal('ready') }),
  z.strictObject({ do: z.literal('next-ready') }),
  z.strictObject({ do: z.literal('registered') }),
]);

export type Order = z.input<typeof order>;
type Parsed = z.output<typeof order>;

/** Carries out one order; what comes back can be written as JSON. */
export function remote(stand: Stand): (given: unknown) => Promise<unknown> {
  const names = new Names(stand);
  return async (given) => perform(stand, names, order.parse(given));
}

async function perform(stand: Stand, names: Names, o: Parsed): Promise<unknown> {
  switch (o.do) {
    case 'user':
      return stand.addUser(o.name).id;
    case 'guild': {
      const [owner, ...others] = o.members.map((m) => names.user(m));
      if (owner === undefined) throw new Error('a server has an owner');
      return stand.addGuild(o.name, [owner, ...others]).id;
    }
    case 'channel':
      return stand.addChannel(names.guild(o.guild), o.name).id;
    case 'slash': {
      const given = optionsOf(names, o.options);
      return shown(await stand.slash(names.user(o.user), names.channel(o.channel), o.path, given));
    }
    case 'burst':
      return burst(stand, names, o);
    case 'say':
      return stand.say(names.user(o.user), names.channel(o.channel), o.content).id;
    case 'sees':
      return stand
        .sees(names.user(o.user), names.channel(o.channel))
        .map(({ id, content }) => ({ id, content }));
    case 'press': {
      const message = stand.core.world.messages.get(o.message);
      if (message === undefined) throw new Error(`no message ${o.message}`);
      return shown(await stand.press(names.user(o.user), message, o.label));
    }
    case 'submit': {
      const opened = new Answer(names.interaction(o.interaction));
      return shown(await stand.submitModal(names.user(o.user), opened, o.fields));
    }
    case 'redeliver':
      return stand.redeliver(names.interaction(o.interaction));
    default:
      return disturb(stand, names, o);
  }
}

type Disturbance = Exclude<
  Parsed,
  {
    do:
      | 'user'
      | 'guild'
      | 'channel'
      | 'slash'
      | 'burst'
      | 'say'
      | 'sees'
      | 'press'
      | 'submit'
      | 'redeliver';
  }
>;

async function disturb(stand: Stand, names: Names, o: Disturbance): Promise<true> {
  switch (o.do) {
    case 'fault': {
      const { route, times } = o;
      stand.faults.add({ ...(route === undefined ? {} : { route }), times, fault: o.fault });
      break;
    }
    case 'no-faults':
      stand.faults.clear();
      break;
    case 'close-dm':
      names.user(o.user).dmClosed = o.closed;
      break;
    case 'trouble':
      stand.trouble(names.channel(o.channel), o.trouble);
      break;
    case 'kick':
      stand.kick(names.guild(o.guild));
      break;
    case 'cut':
      stand.gateway.cut();
      break;
    case 'close':
      stand.gateway.refuse(o.code);
      break;
    case 'raw':
      stand.gateway.raw(o.text);
      break;
    case 'origin':
      // Where the bot is told to connect, when something stands between.
      stand.core.origin = o.origin;
      stand.gateway.origin = o.origin;
      break;
    case 'reconnect':
      stand.gateway.askReconnect();
      break;
    case 'gateway':
      stand.gateway.acknowledging = o.acknowledging ?? stand.gateway.acknowledging;
      stand.gateway.deaf = o.deaf ?? stand.gateway.deaf;
      stand.gateway.refusingResumes = o.refusingResumes ?? stand.gateway.refusingResumes;
      break;
    case 'ready':
      await stand.ready();
      break;
    case 'next-ready':
      await stand.nextReady();
      break;
    case 'registered':
      await stand.commandsRegistered();
      break;
  }
  return true;
}

/** `count` commands, `atOnce` of them under way; each must be answered. */
async function burst(
  stand: Stand,
  names: Names,
  o: Extract<Parsed, { do: 'burst' }>,
): Promise<number> {
  const user = names.user(o.user);
  const channels = (o.channels ?? [o.channel]).map((name) => names.channel(name));
  let next = 0;
  const one = async (): Promise<void> => {
    while (next < o.count) {
      const given = optionsOf(names, o.options[next % o.options.length] ?? {});
      const channel = channels[next % channels.length] as StandChannel;
      next += 1;
      await stand.slash(user, channel, o.path, given);
    }
  };
  await Promise.all(Array.from({ length: Math.min(o.atOnce, o.count) }, one));
  return o.count;
}

function shown(answer: Answer): object {
  const { interaction, ack, text, buttons } = answer;
  const messages = answer.messages.map((m) => m.id);
  return { interaction: interaction.id, ack, text, buttons, messages, modal: interaction.modal };
}

function optionsOf(names: Names, given: z.output<typeof options>): GivenOptions {
  const real = (v: z.output<typeof value>): GivenValue => {
    if (typeof v !== 'object') return v;
    if ('user' in v) return names.user(v.user);
    return { name: v.file, bytes: Buffer.from(v.base64, 'base64') };
  };
  return Object.fromEntries(Object.entries(given).map(([name, v]) => [name, real(v)]));
}

/** Looks people and places up by the name or the id they have. */
class Names {
  readonly #stand: Stand;

  constructor(stand: Stand) {
    this.#stand = stand;
  }

  user(name: string): StandUser {
    return find(this.#stand.core.world.users, name);
  }

  guild(name: string): StandGuild {
    return find(this.#stand.core.world.guilds, name);
  }

  /** `@Mara` is the direct-message channel with her. */
  channel(name: string): StandChannel {
    if (name.startsWith('@')) return this.#stand.dm(this.user(name.slice(1)));
    return find(this.#stand.core.world.channels, name);
  }

  interaction(id: string) {
    const found = this.#stand.core.world.interactions.get(id);
    if (found === undefined) throw new Error(`no interaction ${id}`);
    return found;
  }
}

function find<T extends { id: string; name: string }>(all: Map<string, T>, name: string): T {
  const found = all.get(name) ?? [...all.values()].find((x) => x.name === name);
  if (found === undefined) throw new Error(`nothing is named ${name}`);
  return found;
}
