import {
  Client,
  type ClientOptions,
  Events,
  GatewayIntentBits as Intent,
  type Interaction,
} from 'discord.js';
import { ManualClock } from '../helpers/clock.ts';
import { type Stand, type StandOptions, startStand } from './driver.ts';
import type { StandChannel, StandGuild, StandUser } from './model.ts';

/** A stand-in with a server, a channel and three people, and a bare discord.js client. */
export interface Scene {
  stand: Stand;
  clock: ManualClock;
  client: Client;
  mara: StandUser;
  jonas: StandUser;
  dana: StandUser;
  guild: StandGuild;
  wall: StandChannel;
  /** Logs in and waits until the client is ready. */
  login(): Promise<void>;
  /** Answers every interaction from now on. */
  answering(answer: (interaction: Interaction) => Promise<unknown>): void;
  /** What went wrong while answering, oldest first. */
  failures: unknown[];
  end(): Promise<void>;
}

export async function scene(
  options: Partial<StandOptions> = {},
  clientOptions: Partial<ClientOptions> = {},
): Promise<Scene> {
  const clock = new ManualClock();
  clock.set(Date.UTC(2031, 5, 12, 6));
  const stand = await startStand({ clock, ...options });
  const [mara, jonas, dana] = ['Mara', 'Jonas', 'Dana'].map((n) => stand.addUser(n)) as [
    StandUser,
    StandUser,
    StandUser,
  ];
  const guild = stand.addGuild('Lantern Gorge', [mara, jonas, dana]);
  const wall = stand.addChannel(guild, 'harrow-tower');
  const base = stand.clientOptions();
  const client = new Client({
    intents: [Intent.Guilds],
    ...base,
    ...clientOptions,
    rest: { ...base.rest, ...clientOptions.rest },
  });
  const failures: unknown[] = [];
  return {
    ...{ stand, clock, client, mara, jonas, dana, guild, wall, failures },
    async login() {
      const ready = new Promise((resolve) => client.once(Events.ClientReady, resolve));
      await client.login(stand.token);
      await ready;
    },
    answering(answer) {
      client.on(Events.InteractionCreate, (interaction) => {
        answer(interaction).catch((error: unknown) => failures.push(error));
      });
    },
    async end() {
      await client.destroy();
      await stand.close();
    },
  };
}
