import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { renderReply } from '../../src/chat/discord/render.ts';
import { renderText } from '../../src/chat/local/render.ts';
import { text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

const about = (what: string) => w.say('mara', `/help about:"${what}"`);

describe('/help about a command', () => {
  test('lists its options, each with its few words', async () => {
    expect(text(await about('topout'))).toMatch(/^\/topout .+\n {2}details: .+ \(yes, no\)$/);
    expect(text(await about('/topo'))).toMatch(/^\/topo: .+\n\/topo load .+\n {2}file: .+\(needed/);
    expect(text(await about('trip'))).toContain('(metres, feet)');
  });

  test('or those of one part', async () => {
    const whole = await about('trip');
    const part = await about('trip open');
    expect(part.lines.length).toBeLessThan(whole.lines.length / 3);
    expect(text(part)).toContain('  zone: ');
    expect(text(part)).not.toContain('/trip edit');
    // A part that isn't there: all of them.
    expect(await about('trip opne')).toEqual(whole);
  });

  test('what isn’t there is answered with what is', async () => {
    const reply = await about('nothing');
    expect(reply.refused).toBe(true);
    expect(text(reply)).toContain('There is no /nothing.\nThere is: ');
  });

  test.each(commands.map((c) => c.name))(
    '/%s, within 80 columns and a chat’s limits',
    async (name) => {
      const reply = await about(name);
      const shown = text(reply);
      const command = commands.find((c) => c.name === name);
      const subs =
        command?.bare === undefined ? Object.values(command?.subs ?? {}) : [command.bare];
      for (const { options } of subs) {
        for (const [option, def] of Object.entries(options)) {
          const line = `  ${option}: ${def.description}`;
          if (def.hidden === true) expect(shown).not.toContain(line);
          else expect(shown).toContain(line);
        }
      }
      for (const line of renderText(reply, { width: 80 }))
        expect([...line].length).toBeLessThan(81);
      const { messages, problems } = renderReply(reply, { nowMs: 0 });
      expect(problems).toEqual([]);
      // Discord's API reference, Create Message: content of at most 2000 characters.
      for (const { content } of messages) expect(content.length).toBeLessThanOrEqual(2000);
      expect(messages.flatMap((m) => m.files)).toEqual([]);
    },
  );
});
