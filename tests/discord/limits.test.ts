import type { DiscordAPIError, REST } from 'discord.js';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Scene, scene } from './help.ts';
import { FILE_BYTES_MAX } from './limits.ts';

/**
 * Each limit of Discord's reference (the pages stand in limits.ts) at its last allowed value and one
 * beyond. Sent by the real client's REST, without its builders, which have checks of their own.
 */

let s: Scene;
let rest: REST;

beforeAll(async () => {
  s = await scene();
  await s.login();
  rest = s.client.rest;
});
afterAll(() => s.end());

const x = (n: number) => 'x'.repeat(n);
const many = <T>(n: number, make: (i: number) => T) => Array.from({ length: n }, (_, i) => make(i));
const button = (i: number, more: object = {}) => ({
  type: 2,
  style: 2,
  label: `B${i}`,
  custom_id: `b${i}`,
  ...more,
});
const row = (...components: object[]) => ({ type: 1, components });

/** Where the complaints are, as `embeds.0.title`; empty when it was taken. */
async function complaints(send: Promise<unknown>): Promise<string[]> {
  try {
    await send;
    return [];
  } catch (error) {
    const { code, status, rawError } = error as DiscordAPIError;
    expect({ code, status }).toEqual({ code: 50035, status: 400 });
    return places((rawError as { errors?: object }).errors ?? { '': { _errors: [] } });
  }
}

function places(errors: object, path: string[] = []): string[] {
  return Object.entries(errors).flatMap(([key, value]) =>
    key === '_errors' ? [path.join('.')] : places(value, [...path, key]),
  );
}

const post = (body: object) => complaints(rest.post(`/channels/${s.wall.id}/messages`, { body }));

describe('a message', () => {
  const emb = (more: object) => ({ embeds: [{ description: 'd', ...more }] });
  const field = (name: string, value: string) => emb({ fields: [{ name, value }] });
  const select = (options: number) =>
    row({
      type: 3,
      custom_id: 's',
      options: many(options, (i) => ({ label: `${i}`, value: `${i}` })),
    });

  test.each<[what: string, place: string, (n: number) => object, max: number]>([
    ['content', 'content', (n) => ({ content: x(n) }), 2000],
    ['content counted in characters', 'content', (n) => ({ content: '🧗'.repeat(n) }), 2000],
    ['nonce', 'nonce', (n) => ({ content: 'c', nonce: x(n) }), 25],
    ['embeds', 'embeds', (n) => ({ embeds: many(n, () => ({ title: 't' })) }), 10],
    ['embed title', 'embeds.0.title', (n) => emb({ title: x(n) }), 256],
    ['embed description', 'embeds.0.description', (n) => emb({ description: x(n) }), 4096],
    ['embed footer', 'embeds.0.footer.text', (n) => emb({ footer: { text: x(n) } }), 2048],
    ['embed author', 'embeds.0.author.name', (n) => emb({ author: { name: x(n) } }), 256],
    ['embed field name', 'embeds.0.fields.0.name', (n) => field(x(n), 'v'), 256],
    ['embed field value', 'embeds.0.fields.0.value', (n) => field('n', x(n)), 1024],
    [
      'embed fields',
      'embeds.0.fields',
      (n) => emb({ fields: many(n, () => ({ name: 'n', value: 'v' })) }),
      25,
    ],
    [
      'text of all embeds',
      'embeds',
      (n) => ({ embeds: [{ description: x(3000) }, { description: x(n - 3000) }] }),
      6000,
    ],
    ['rows', 'components', (n) => ({ components: many(n, (i) => row(button(i))) }), 5],
    [
      'buttons in a row',
      'components.0.components',
      (n) => ({ components: [row(...many(n, (i) => button(i)))] }),
      5,
    ],
    [
      'button label',
      'components.0.components.0.label',
      (n) => ({ components: [row(button(0, { label: x(n) }))] }),
      80,
    ],
    [
      'custom_id',
      'components.0.components.0.custom_id',
      (n) => ({ components: [row(button(0, { custom_id: x(n) }))] }),
      100,
    ],
    [
      'options of a select',
      'components.0.components.0.options',
      (n) => ({ components: [select(n)] }),
      25,
    ],
    [
      'ids that may be pinged',
      'allowed_mentions.users',
      (n) => ({ content: 'c', allowed_mentions: { users: many(n, (i) => `${1000 + i}`) } }),
      100,
    ],
  ])('%s', async (_what, place, body, max) => {
    expect(await post(body(max))).toEqual([]);
    expect(await post(body(max + 1))).toEqual([place]);
  });

  // components/reference.mdx, Components Overview.
  describe('of components only', () => {
    const CARD = 1 << 15;
    const words = (content: string) => ({ type: 10, content });
    const card = (components: object[]) => ({ flags: CARD, components });

    test.each<[what: string, body: (n: number) => object, max: number]>([
      [
        'components in all',
        (n) => card([{ type: 17, components: many(n - 1, () => words('a')) }]),
        40,
      ],
      ['text in all', (n) => card([words(x(n - 10)), words(x(10))]), 4000],
      [
        'accent colour',
        (n) => card([{ type: 17, accent_color: n, components: [words('a')] }]),
        0xffffff,
      ],
    ])('%s', async (_what, body, max) => {
      expect(await post(body(max))).toEqual([]);
      expect(await post(body(max + 1))).not.toEqual([]);
    });

    test('takes no content, no embed and no file that isn’t there; and nothing else takes its components', async () => {
      expect(await post({ ...card([words('a')]), content: 'b' })).toEqual(['content']);
      expect(await post({ ...card([words('a')]), embeds: [{ description: 'b' }] })).toEqual([
        'content',
      ]);
      const picture = { type: 12, items: [{ media: { url: 'attachment://none.png' } }] };
      expect(await post(card([picture]))).toEqual(['components']);
      expect(await post({ content: 'b', components: [words('a')] })).toEqual(['components']);
    });
  });

  test.each<[what: string, place: string, body: object]>([
    ['an unknown field', 'colour', { content: 'c', colour: 1 }],
    [
      'an unknown field of a button',
      'components.0.components.0.size',
      {
        components: [row(button(0, { size: 1 }))],
      },
    ],
    [
      'an empty custom_id',
      'components.0.components.0.custom_id',
      {
        components: [row(button(0, { custom_id: '' }))],
      },
    ],
    [
      'a custom_id given twice',
      'components.1.components.0.custom_id',
      {
        components: [row(button(0)), row(button(0))],
      },
    ],
    ['an empty row', 'components.0.components', { components: [row()] }],
    [
      'a text input',
      'components.0.components.0.type',
      {
        components: [row({ type: 4, custom_id: 'i', style: 1, label: 'l' })],
      },
    ],
    ['EPHEMERAL outside interactions', 'flags', { content: 'c', flags: 64 }],
    [
      'pings both parsed and listed',
      'allowed_mentions',
      {
        content: 'c',
        allowed_mentions: { parse: ['users'], users: ['1'] },
      },
    ],
    [
      'a kind of ping there is not',
      'allowed_mentions.parse.0',
      {
        content: 'c',
        allowed_mentions: { parse: ['here'] },
      },
    ],
    ['enforce_nonce without a nonce', 'nonce', { content: 'c', enforce_nonce: true }],
    ['content that is a number', 'content', { content: 5 }],
  ])('%s is refused', async (_what, place, body) => {
    const found = await post(body);
    expect(found).toContain(place);
  });

  test('an empty message is 50006', async () => {
    const sent = rest.post(`/channels/${s.wall.id}/messages`, { body: { content: ' \n ' } });
    await expect(sent).rejects.toMatchObject({ code: 50006, status: 400 });
  });

  test('ten files go, eleven are 30015', async () => {
    const upload = (n: number) =>
      rest.post(`/channels/${s.wall.id}/messages`, {
        body: { content: 'c' },
        files: many(n, (i) => ({ name: `${i}.txt`, data: Buffer.from('x') })),
      });
    expect(await upload(10)).toMatchObject({
      attachments: many(10, (i) => ({ filename: `${i}.txt` })),
    });
    await expect(upload(11)).rejects.toMatchObject({ code: 30015 });
  });

  test('a file over the size limit is 40005', async () => {
    expect(FILE_BYTES_MAX).toBe(20 * 1024 * 1024);
    // A smaller one here: it takes seconds to send so much.
    const most = 256 * 1024;
    const own = await scene({ fileBytesMax: most });
    await own.login();
    const upload = (size: number) =>
      own.client.rest.post(`/channels/${own.wall.id}/messages`, {
        body: {},
        files: [{ name: 'big.bin', data: Buffer.alloc(size) }],
      });
    await expect(upload(most)).resolves.toBeDefined();
    await expect(upload(most + 1)).rejects.toMatchObject({ code: 40005, status: 413 });
    await own.end();
  });
});

describe('a command', () => {
  const put = (...commands: object[]) =>
    complaints(rest.put(`/applications/${s.stand.bot.id}/commands`, { body: commands }));
  const cmd = (more: object) => ({ name: 'c', description: 'd', ...more });
  const opt = (more: object) =>
    cmd({ options: [{ type: 3, name: 'o', description: 'd', ...more }] });
  const choice = (i: number) => ({ name: `n${i}`, value: `v${i}` });
  /** A command with exactly `n` characters of text. */
  const sized = (n: number) => {
    const letter = (i: number) => String.fromCharCode(97 + i);
    const full = (i: number) => ({
      ...{ type: 3, name: letter(i), description: x(100) },
      choices: many(25, (j) => ({ name: letter(j), value: x(99) + letter(j) })),
    });
    // A full option has 1 + 100 + 25 × (1 + 100) = 2626; three of them 7878.
    const rest = n - 7878 - 'cd'.length - 'yz'.length;
    const last = [
      { type: 3, name: 'y', description: x(50) },
      { type: 3, name: 'z', description: x(rest - 50) },
    ];
    return cmd({ options: [...many(3, full), ...last] });
  };

  test.each<[what: string, place: string, (n: number) => object, max: number]>([
    ['name', '0.name', (n) => cmd({ name: x(n) }), 32],
    ['description', '0.description', (n) => cmd({ description: x(n) }), 100],
    ['option name', '0.options.0.name', (n) => opt({ name: x(n) }), 32],
    ['option description', '0.options.0.description', (n) => opt({ description: x(n) }), 100],
    [
      'options',
      '0.options',
      (n) => cmd({ options: many(n, (i) => ({ type: 3, name: `o${i}`, description: 'd' })) }),
      25,
    ],
    ['choices', '0.options.0.choices', (n) => opt({ choices: many(n, choice) }), 25],
    [
      'choice name',
      '0.options.0.choices.0.name',
      (n) => opt({ choices: [{ name: x(n), value: 'v' }] }),
      100,
    ],
    [
      'choice value',
      '0.options.0.choices.0.value',
      (n) => opt({ choices: [{ name: 'n', value: x(n) }] }),
      100,
    ],
    ['max_length', '0.options.0.max_length', (n) => opt({ max_length: n }), 6000],
    ['all its text', '0', sized, 8000],
  ])('%s', async (_what, place, body, max) => {
    expect(await put(body(max))).toEqual([]);
    expect(await put(body(max + 1))).toEqual([place]);
  });

  test('a hundred commands go, not one more', async () => {
    const named = (n: number) => many(n, (i) => cmd({ name: `c${i}` }));
    expect(await put(...named(100))).toEqual([]);
    expect(await put(...named(101))).toEqual(['']);
  });

  test.each<[what: string, place: string, command: object]>([
    ['upper case', '0.name', cmd({ name: 'Pitch' })],
    ['a space', '0.name', cmd({ name: 'pitch done' })],
    ['no description', '0.description', { name: 'c' }],
    ['an unknown field', '0.colour', cmd({ colour: 1 })],
    ['choices and autocomplete', '0.options.0', opt({ autocomplete: true, choices: [choice(0)] })],
    ['an option of a kind there is not', '0.options.0.type', opt({ type: 12 })],
    [
      'a needed option behind an optional one',
      '0.options.1',
      cmd({
        options: [
          { type: 3, name: 'a', description: 'd' },
          { type: 3, name: 'b', description: 'd', required: true },
        ],
      }),
    ],
    [
      'a name given twice',
      '0.options.1',
      cmd({ options: many(2, () => ({ type: 3, name: 'a', description: 'd' })) }),
    ],
  ])('%s is refused', async (_what, place, command) => {
    expect(await put(command)).toContain(place);
  });

  test('subcommands and plain options don’t mix', async () => {
    const mixed = cmd({
      options: [
        { type: 1, name: 'a', description: 'd' },
        { type: 3, name: 'b', description: 'd' },
      ],
    });
    expect(await put(mixed)).not.toEqual([]);
  });

  test('two commands of one name are refused', async () => {
    expect(await put(cmd({}), cmd({}))).toEqual(['1']);
  });
});

describe('a form', () => {
  const input = (i: number, more: object = {}) => ({
    type: 18,
    label: 'l',
    component: { type: 4, custom_id: `i${i}`, style: 1, ...more },
  });
  const form = (more: object) => ({ custom_id: 'f', title: 't', components: [input(0)], ...more });

  async function show(data: object): Promise<string[]> {
    await rest.put(`/applications/${s.stand.bot.id}/commands`, {
      body: [{ name: 'c', description: 'd' }],
    });
    const sent = new Promise<string[]>((resolve) => {
      s.client.once('interactionCreate', (i) => {
        const path = `/interactions/${i.id}/${i.token}/callback` as const;
        resolve(complaints(rest.post(path, { auth: false, body: { type: 9, data } })));
      });
    });
    void s.stand.slash(s.mara, s.wall, '/c', {}, { allowRefusals: true });
    const found = await sent;
    return found;
  }

  test.each<[what: string, place: string, (n: number) => object, max: number]>([
    ['title', 'data.title', (n) => form({ title: x(n) }), 45],
    ['custom_id', 'data.custom_id', (n) => form({ custom_id: x(n) }), 100],
    ['fields', 'data.components', (n) => form({ components: many(n, (i) => input(i)) }), 5],
    [
      'label',
      'data.components.0.label',
      (n) => form({ components: [{ ...input(0), label: x(n) }] }),
      45,
    ],
    [
      'placeholder',
      'data.components.0.component.placeholder',
      (n) => form({ components: [input(0, { placeholder: x(n) })] }),
      100,
    ],
    [
      'max_length',
      'data.components.0.component.max_length',
      (n) => form({ components: [input(0, { max_length: n })] }),
      4000,
    ],
  ])('%s', async (_what, place, body, max) => {
    expect(await show(body(max))).toEqual([]);
    expect(await show(body(max + 1))).toEqual([place]);
  });
});
