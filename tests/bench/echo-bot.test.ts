import { join } from 'node:path';
import { expect, test } from 'vitest';
import { compiledRoot } from '../helpers/compiled.ts';
import { commandsPerSecond, ECHO, startEchoBot } from './echo-bot.ts';

test('a rate comes out only when every command was answered', async () => {
  const script = join(await compiledRoot(), 'dist/tests/discord/process.js');
  const rate = await commandsPerSecond(startEchoBot, 20, {
    ...ECHO,
    script,
    still: true,
    atOnce: 4,
  });
  expect(rate).toBeGreaterThan(0);
  const wrong = { ...ECHO, script, still: true, path: '/other' };
  await expect(commandsPerSecond(startEchoBot, 20, wrong)).rejects.toThrow(/no command/u);
});
