/**
 * A stand-in for Discord on 127.0.0.1 that the real discord.js client logs into. In a test:
 *
 *     const clock = new ManualClock();                // tests/helpers/clock.ts; moved by hand
 *     const stand = await startStand({ clock });
 *     const mara = stand.addUser('Mara');
 *     const guild = stand.addGuild('Lantern Gorge', [mara]);
 *     const wall = stand.addChannel(guild, 'harrow-tower');
 *     …start the bot with DISCORD_API_URL=stand.apiUrl and the token stand.token…
 *     await stand.ready();                            // the gateway session is up
 *     await stand.commandsRegistered();
 *     const answer = await stand.slash(mara, wall, '/pitch done', { number: 5, at: '-10m' });
 *     expect(answer.text).toContain('Pitch 5 done');
 *     const undone = await stand.press(mara, answer, 'Undo');
 *     const form = await stand.press(mara, answer, 'Change the time');
 *     await stand.submitModal(mara, form, { Time: '14:05' });
 *     expect(stand.refusals()).toEqual([]);           // nothing Discord would have refused
 *     await stand.close();
 *
 * A bare client of your own: `new Client({ intents, ...stand.clientOptions() })`.
 *
 * - slash, press and submitModal resolve when the bot has answered (a deferral is waited out) and
 *   reject when Discord would have refused the answer, or when the person's own app would not have
 *   sent such a thing (ClientRefusal). They never time out by themselves: the test does.
 * - Options: text, numbers, true/false, a user from addUser, `{ name, bytes }` for a file.
 * - stand.sees(user, channel): the messages on this person's screen, ephemeral ones only for theirs.
 *   stand.notified(user): what made their phone ring. stand.journal: everything, in order.
 * - stand.faults.add({ route, times, fault }), stand.trouble(channel, 'no-access'),
 *   user.dmClosed = true, stand.kick(guild): what goes wrong.
 * - stand.gateway.cut(), .acknowledging = false, .deaf = true, .refusingResumes = 1,
 *   .askReconnect(), .invalidate(false): disturbed connections.
 * - stand.journal.until(() => …) resolves when something has happened; nothing here sleeps.
 */
import { GatewayIntentBits as Intent } from 'discord.js';
import { addMessage } from './compose.ts';
import type { Core } from './core.ts';
import { Answer, answerTo, nextOutcome, type Outcome, type Waiting } from './driver/answer.ts';
import { deliver } from './driver/dispatch.ts';
import type { GivenOptions } from './driver/options.ts';
import { type GivenField, pressButton, submitForm } from './driver/press.ts';
import { askSuggestions, runCommand, useMessage } from './driver/slash.ts';
import type { EntryOf } from './journal.ts';
import type {
  ChannelTrouble,
  StandChannel,
  StandGuild,
  StandInteraction,
  StandMessage,
  StandUser,
} from './model.ts';
import { guildJson } from './payloads.ts';
import { DEFAULT_ALLOWED } from './pings.ts';
import { open, type StandOptions } from './start.ts';
import { EVERYONE } from './world.ts';

export { Answer } from './driver/answer.ts';
export { ClientRefusal } from './driver/client-refusal.ts';
export type { GivenFile } from './driver/options.ts';
export type { StandOptions } from './start.ts';

export async function startStand(options: StandOptions): Promise<Stand> {
  const { core, close } = await open(options);
  return new Stand(core, close);
}

export class Stand {
  readonly core: Core;
  /** Cuts every socket and stops listening. */
  readonly close: () => Promise<void>;

  constructor(core: Core, close: () => Promise<void>) {
    this.core = core;
    this.close = close;
  }

  get apiUrl(): string {
    return `${this.core.origin}/api`;
  }

  get token(): string {
    return this.core.settings.token;
  }

  get bot(): StandUser {
    return this.core.world.bot;
  }

  get journal() {
    return this.core.journal;
  }

  get gateway() {
    return this.core.gateway;
  }

  get faults() {
    return this.core.faults;
  }

  get rate() {
    return this.core.rate;
  }

  /** For a discord.js Client: where to go, and no five-second pause before a second Identify. */
  clientOptions() {
    return {
      rest: { api: this.apiUrl },
      ws: { buildIdentifyThrottler: async () => ({ waitForIdentify: async () => {} }) },
    };
  }

  // People and places.

  addUser(name: string, given: Partial<StandUser> = {}): StandUser {
    return this.core.world.addUser(name, given);
  }

  /** The first member owns it. The bot is in it from the start, and hears of it when connected. */
  addGuild(name: string, members: readonly [StandUser, ...StandUser[]]): StandGuild {
    const guild = this.core.world.addGuild(name, members[0]);
    for (const member of members.slice(1)) guild.members.set(member.id, EVERYONE);
    this.#guildCreated(guild);
    return guild;
  }

  addChannel(guild: StandGuild, name: string, given: Partial<StandChannel> = {}): StandChannel {
    const channel = this.core.world.addChannel(name, { guildId: guild.id, ...given });
    this.gateway.channelAdded(channel.id);
    return channel;
  }

  /** A public thread of a channel; `archive` puts it away as an hour without a message does. */
  addThread(parent: StandChannel, name: string): StandChannel {
    const thread = { parentId: parent.id, archived: false, locked: false };
    const { guildId } = parent;
    const added = this.core.world.addChannel(name, {
      ...(guildId === undefined ? {} : { guildId }),
      thread,
    });
    this.gateway.channelAdded(added.id);
    return added;
  }

  /** The bot isn't told: only active threads are kept in step. */
  archive(channel: StandChannel, { locked = false } = {}): void {
    if (channel.thread === undefined) throw new Error('no thread');
    Object.assign(channel.thread, { archived: true, locked });
  }

  /** The direct-message channel between this person and the bot. */
  dm(user: StandUser): StandChannel {
    return this.core.world.dmWith(user);
  }

  /** The bot is thrown out of the server. */
  kick(guild: StandGuild): void {
    guild.kicked = true;
    this.gateway.dispatch('GUILD_DELETE', { id: guild.id }, guild.id, Intent.Guilds);
  }

  invite(guild: StandGuild): void {
    guild.kicked = false;
    this.#guildCreated(guild);
  }

  /** Something is wrong with a channel from now on; `undefined` mends it. The bot isn't told. */
  trouble(channel: StandChannel, trouble: ChannelTrouble | undefined): void {
    if (trouble === undefined) delete channel.trouble;
    else channel.trouble = trouble;
  }

  // What people do.

  async slash(
    user: StandUser,
    channel: StandChannel,
    path: string,
    options: GivenOptions = {},
    waiting: Waiting = {},
  ): Promise<Answer> {
    return answerTo(runCommand(this.core, user, channel, path, options), waiting);
  }

  /** A command in the menu of a message. */
  async onMessage(user: StandUser, message: StandMessage, name: string): Promise<Answer> {
    return answerTo(useMessage(this.core, user, message, name), {});
  }

  /** Suggestions for `typing` = [option, what stands in it so far]. */
  async autocomplete(
    user: StandUser,
    channel: StandChannel,
    path: string,
    typing: readonly [option: string, text: string],
    options: GivenOptions = {},
  ): Promise<{ name: string; value: string | number }[]> {
    const asked = askSuggestions(this.core, user, channel, path, typing, options);
    return (await answerTo(asked, {})).interaction.choices ?? [];
  }

  /** Presses a button by its label: on the message, or on whichever message of the answer has it. */
  async press(
    user: StandUser,
    on: StandMessage | Answer,
    label: string,
    waiting: Waiting = {},
  ): Promise<Answer> {
    const message = on instanceof Answer ? on.messageWith(label) : on;
    return answerTo(pressButton(this.core, user, message, label), waiting);
  }

  /** Hands in the form that `opened` brought up; fields by label or custom_id. */
  async submitModal(
    user: StandUser,
    opened: Answer,
    fields: Readonly<Record<string, GivenField>>,
    waiting: Waiting = {},
  ): Promise<Answer> {
    return answerTo(submitForm(this.core, user, opened.interaction, fields), waiting);
  }

  /** The same interaction once more, as after a resume; resolves with what the bot's try came to. */
  redeliver(interaction: StandInteraction): Promise<Outcome> {
    const outcome = nextOutcome(interaction);
    deliver(this.core, interaction);
    return outcome;
  }

  /** An ordinary message by a person. */
  say(user: StandUser, channel: StandChannel, content: string): StandMessage {
    const how = { authorId: user.id, defaults: DEFAULT_ALLOWED.message };
    const message = addMessage(this.core, channel, { content }, [], how);
    this.gateway.messageCreated(message);
    return message;
  }

  // What can be seen.

  /** The channel as it looks on this person's screen, oldest first. */
  sees(user: StandUser, channel: StandChannel): StandMessage[] {
    const there =
      channel.userId === user.id || this.core.world.guildOf(channel)?.members.has(user.id) === true;
    if (!there) return [];
    return channel.messages.filter((m) => m.onlyFor === undefined || m.onlyFor === user.id);
  }

  /** Messages that notified this person: direct ones, and those that pinged them. */
  notified(user: StandUser): EntryOf<'message'>[] {
    return this.journal.of('message').filter((m) => {
      const channel = this.core.world.channels.get(m.channelId);
      const guild = channel === undefined ? undefined : this.core.world.guildOf(channel);
      if (m.authorId === user.id || m.pings.silent) return false;
      if (channel?.userId === user.id) return true;
      const reached = m.pings.users.includes(user.id) || m.pings.everyone;
      const visible = m.onlyFor === undefined || m.onlyFor === user.id;
      return reached && visible && guild?.members.has(user.id) === true;
    });
  }

  /** Requests that Discord would have refused, test faults apart. */
  refusals(): EntryOf<'request'>[] {
    return this.journal.of('request').filter((r) => r.status >= 400 && r.fault !== true);
  }

  /** Resolves when the bot has a live session. */
  async ready(): Promise<void> {
    await this.journal.until(() => [...this.gateway.sessions.values()].some((s) => s.socket));
  }

  /** Resolves when a bot comes in or comes back after this call, as after a kill. */
  async nextReady(): Promise<void> {
    const from = this.journal.entries.length;
    await this.journal.until(() =>
      this.journal.entries
        .slice(from)
        .some((e) => e.kind === 'gateway' && (e.what === 'ready' || e.what === 'resumed')),
    );
  }

  /** Resolves when commands are registered in any scope. */
  async commandsRegistered(): Promise<void> {
    await this.journal.until(() =>
      [...this.core.world.commands.values()].some((list) => list.length > 0),
    );
  }

  #guildCreated(guild: StandGuild): void {
    const json = guildJson(this.core.world, guild);
    this.gateway.dispatch('GUILD_CREATE', json, guild.id, Intent.Guilds);
  }
}
