import { describe, expect, it } from 'vitest';
import { definitionProblems } from '../../../src/chat/discord/definition-limits.ts';
import { commandsJson } from '../../../src/chat/discord/definitions.ts';
import { fakeCommands } from '../fake-commands.ts';

const json = commandsJson(fakeCommands([]));

// Numbers of types, contexts and limits: Discord's published reference,
// interactions/application-commands.mdx.
describe('command definitions', () => {
  it('are what Discord takes', () => {
    expect(definitionProblems(json)).toEqual([]);
    expect(json.map((c) => c.name)).toEqual(['help', 'echo', 'post']);
    for (const c of json) expect([c.contexts, c.integration_types]).toEqual([[0, 1], [0]]);
  });

  it('say type, limits, choices and completion of every option', () => {
    const all = json[1]?.options?.[0] as unknown as { type: number; options: object[] };
    expect(all.type).toBe(1);
    expect(all.options).toEqual([
      { type: 3, name: 'text', description: 'Any text', required: true, max_length: 200 },
      { type: 4, name: 'count', description: 'A whole number', min_value: 1, max_value: 40 },
      { type: 10, name: 'ratio', description: 'A number' },
      { type: 5, name: 'sure', description: 'Yes or no' },
      { type: 6, name: 'who', description: 'A person' },
      { type: 11, name: 'file', description: 'A file' },
      {
        type: 3,
        name: 'units',
        description: 'Units',
        choices: [
          { name: 'feet', value: 'ft' },
          { name: 'metres', value: 'm' },
        ],
      },
      { type: 4, name: 'pitch', description: 'A pitch', autocomplete: true },
    ]);
  });

  it('leave hidden options out and put needed ones first', () => {
    expect(JSON.stringify(json)).not.toContain('Set by our buttons');
    const shuffled = commandsJson([
      {
        name: 'x',
        description: 'x',
        bare: {
          description: 'x',
          access: 'anyone',
          options: {
            a: { type: 'boolean', description: 'a' },
            b: { type: 'boolean', description: 'b', required: true },
          },
          run: async () => ({ lines: [] }),
        },
      },
    ]);
    expect(shuffled[0]?.options?.map((o) => o.name)).toEqual(['b', 'a']);
  });

  it.each([
    [{ name: 'Big' }, 'unfit name'],
    [{ name: 'x'.repeat(33) }, 'unfit name'],
    [{ description: '' }, 'description of 0'],
    [{ description: 'd'.repeat(101) }, 'description of 101'],
    [
      {
        options: Array.from({ length: 26 }, (_, i) => ({
          type: 5,
          name: `o${i}`,
          description: 'd',
        })),
      },
      '26 options',
    ],
    [
      {
        options: [
          { type: 5, name: 'a', description: 'd' },
          { type: 5, name: 'b', description: 'd', required: true },
        ],
      },
      'a needed option behind',
    ],
    [
      {
        options: Array.from({ length: 25 }, (_, i) => ({
          type: 3,
          name: `option-${i}`,
          description: 'd'.repeat(100),
          choices: Array.from({ length: 4 }, (_, c) => ({ name: 'n'.repeat(60), value: `${c}` })),
        })),
      },
      'characters of text',
    ],
  ])('are refused here before Discord refuses them: %#', (change, problem) => {
    const bad = [{ type: 1, name: 'x', description: 'd', ...change }];
    expect(definitionProblems(bad as never).join('\n')).toContain(problem);
  });
});
