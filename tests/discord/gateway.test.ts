import { Client, Events, GatewayIntentBits as Intent } from 'discord.js';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { ManualClock } from '../helpers/clock.ts';
import { type Stand, startStand } from './driver.ts';

let stand: Stand;
let client: Client;
const clock = new ManualClock();

beforeEach(async () => {
  clock.set(Date.UTC(2031, 5, 12, 6));
  stand = await startStand({ clock });
  client = new Client({ intents: [Intent.Guilds], ...stand.clientOptions() });
});

afterEach(async () => {
  await client.destroy();
  await stand.close();
});

async function login(): Promise<void> {
  const ready = new Promise((resolve) => client.once(Events.ClientReady, resolve));
  await client.login(stand.token);
  await ready;
}

test('the real client logs in and knows its server and channel', async () => {
  const mara = stand.addUser('Mara');
  const guild = stand.addGuild('Lantern Gorge', [mara]);
  const wall = stand.addChannel(guild, 'harrow-tower');
  await login();
  expect(client.user?.id).toBe(stand.bot.id);
  expect(client.guilds.cache.get(guild.id)?.name).toBe('Lantern Gorge');
  expect(client.channels.cache.get(wall.id)?.isTextBased()).toBe(true);
  expect(stand.journal.of('gateway').map((g) => g.what)).toEqual(['connect', 'identify', 'ready']);
});
