import { join } from 'node:path';
import { Client, Events, GatewayIntentBits as Intent } from 'discord.js';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { compiledRoot } from '../helpers/compiled.ts';
import { type SpawnedStand, spawnStand } from './spawned.ts';

let stand: SpawnedStand;
let bot: Client;

beforeEach(async () => {
  const script = join(await compiledRoot(), 'dist/tests/discord/process.js');
  stand = await spawnStand(script, ['--still']);
  await stand.order({ do: 'user', name: 'Mara' });
  await stand.order({ do: 'guild', name: 'Lantern Gorge', members: ['Mara'] });
  await stand.order({ do: 'channel', guild: 'Lantern Gorge', name: 'harrow-tower' });
  bot = new Client({ intents: [Intent.Guilds], rest: { api: stand.apiUrl } });
});

afterEach(async () => {
  await bot.destroy();
  await stand.close();
});

const say = { do: 'slash', user: 'Mara', channel: 'harrow-tower', path: '/say' } as const;

test('in a process of its own it takes orders, and tells all it sees as JSON Lines', async () => {
  bot.on(Events.InteractionCreate, (i) => {
    if (i.isChatInputCommand()) void i.reply(`You said ${i.options.getString('text')}.`);
  });
  await bot.login(stand.token);
  await bot.application?.commands.set([
    { name: 'say', description: 'd', options: [{ type: 3, name: 'text', description: 'd' }] },
  ]);
  await stand.order({ do: 'registered' });
  const said = await stand.order({ ...say, options: { text: 'hello' } });
  expect(said).toMatchObject({ ack: 4, text: 'You said hello.' });
  await expect(stand.order({ ...say, options: { nonsense: 1 } })).rejects.toThrow(/no option/u);
  const kinds = stand.entries.map((e) => e.kind);
  expect(kinds.filter((k) => ['commands', 'interaction', 'message', 'ack'].includes(k))).toEqual([
    'commands',
    'interaction',
    'message',
    'ack',
  ]);
  const seen = await stand.order({ do: 'sees', user: 'Mara', channel: 'harrow-tower' });
  expect(seen).toMatchObject([{ content: 'You said hello.' }]);
  expect(await stand.close()).toBe(0);
});

test('an order it can’t read is answered, and it goes on', async () => {
  const nonsense = { do: 'nonsense' } as never;
  await expect(stand.order(nonsense)).rejects.toThrow();
  await expect(stand.order({ do: 'user', name: 'Jonas' })).resolves.toMatch(/^\d{17,20}$/u);
});
