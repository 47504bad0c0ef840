/** What a contact is shown of the trip and the watch names no command that refuses them. */
import { describe, expect, it, onTestFinished } from 'vitest';
import { commands } from '../../commands/index.ts';
import { findSub } from '../../src/app/command.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

const PAGES = ['/help', '/trip show', '/overdue show', '/overdue sheet', '/checkin contact'];

/** `trip edit` of `/trip edit emergency:112`. */
function commandsIn(said: string): string[] {
  return [...said.matchAll(/(?<![\w/])\/([a-z]+)(?: ([a-z]+))?(?![\w:])/gu)].flatMap(
    ([, name = '', sub]) => {
      const command = commands.find((c) => c.name === name);
      if (command === undefined) return [];
      return sub !== undefined && command.subs?.[sub] !== undefined ? [`${name} ${sub}`] : [name];
    },
  );
}

const needsToPost = (path: string) => findSub(commands, path)?.access === 'post';

/** Of all it was shown, what it may not do; the line that lists every command is for everybody. */
async function barred(w: World): Promise<string[]> {
  const found: string[] = [];
  for (const page of PAGES) {
    const said = text(await w.say('dana', page)).replaceAll(/^Commands: .*$/gmu, '');
    found.push(
      ...commandsIn(said)
        .filter(needsToPost)
        .map((path) => `${page} names /${path}`),
    );
  }
  return found;
}

describe('a contact is shown nothing that they may not do', () => {
  it('while it is prepared, out, overdue, down and closed', async () => {
    const w = await world();
    onTestFinished(() => w.close());
    expect(needsToPost('trip edit')).toBe(true);
    expect(commandsIn('the number (/trip edit emergency:), /help')).toEqual(['trip edit', 'help']);
    await openDemo(w);
    await w.say('mara', '/trip edit emergency:none');
    expect(await barred(w)).toEqual([]);
    await w.say('mara', '/checkin plan down:22:00 callout:"tomorrow 02:00"');
    await w.say('mara', '/trip depart');
    expect(await barred(w)).toEqual([]);
    for (const local of ['2031-06-12 22:40', '2031-06-13 02:10']) {
      w.at(local);
      await w.tick();
      expect(await barred(w)).toEqual([]);
    }
    await w.say('greta', '/trip down');
    expect(await barred(w)).toEqual([]);
    await w.say('mara', '/trip close');
    expect(await barred(w)).toEqual([]);
  });
});
