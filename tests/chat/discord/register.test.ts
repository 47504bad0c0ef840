import type { REST } from 'discord.js';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { commandsJson } from '../../../src/chat/discord/definitions.ts';
import { canonical, register } from '../../../src/chat/discord/register.ts';
import { fakeCommands } from '../fake-commands.ts';
import { chatStore } from '../fakes.ts';

const commands = commandsJson(fakeCommands([]));

/** Hands back what was put, dressed up as Discord does (application-commands.mdx, the object). */
function registry(alter: (command: object) => object = (c) => c) {
  const there = new Map<string, object[]>();
  const puts: string[] = [];
  const rest = {
    async get(route: string) {
      return there.get(route) ?? [];
    },
    async put(route: string, { body }: { body: object[] }) {
      puts.push(route);
      there.set(
        route,
        body.map((command, i) =>
          alter({
            ...command,
            id: String(i),
            application_id: '1',
            version: '9',
            default_member_permissions: null,
            nsfw: false,
            name_localizations: null,
            description_localizations: null,
            dm_permission: true,
          }),
        ),
      );
      return there.get(route);
    },
  };
  return { rest: rest as unknown as REST, puts, there };
}

describe('registration', () => {
  const log = pino({ level: 'silent' });
  const job = (rest: REST, store = chatStore(), guild?: string) => ({
    rest,
    store,
    log,
    application: '1',
    guild,
    commands,
  });

  it('sends the commands once and not again while they stay the same', async () => {
    const { rest, puts } = registry();
    const store = chatStore();
    expect((await register(job(rest, store))).outcome).toBe('registered');
    expect((await register(job(rest, store))).outcome).toBe('unchanged');
    expect(puts).toEqual(['/applications/1/commands']);
  });

  it('sees that they are the same though it never sent them itself', async () => {
    const { rest, puts } = registry((c) => ({
      ...c,
      integration_types: [0],
      contexts: [1, 0],
      options: (c as { options: object[] }).options?.map((o) => ({ required: false, ...o })),
    }));
    await register(job(rest));
    expect((await register(job(rest, chatStore()))).outcome).toBe('unchanged');
    expect(puts).toHaveLength(1);
  });

  it('sends them again when only what is said in another language has changed', async () => {
    const { rest, puts } = registry();
    const store = chatStore();
    await register(job(rest, store));
    const [first, ...others] = commands;
    const also = { ...first, description_localizations: { de: 'Hilfe' } } as (typeof commands)[0];
    const changed = { ...job(rest, store), commands: [also, ...others] };
    expect((await register(changed)).outcome).toBe('registered');
    expect((await register(changed)).outcome).toBe('unchanged');
    expect(puts).toHaveLength(2);
  });

  it('does not send them at every start because Discord hands them back in another form', async () => {
    const { rest, puts } = registry((c) => ({ ...c, description: 'trimmed' }));
    const store = chatStore();
    await register(job(rest, store));
    expect((await register(job(rest, store))).outcome).toBe('unchanged');
    expect(puts).toHaveLength(1);
  });

  it('sends them when a definition changed or one is missing', async () => {
    const { rest, puts, there } = registry();
    const store = chatStore();
    await register(job(rest, store));
    const changed = commands.map((c, i) => (i === 0 ? { ...c, description: 'Another' } : c));
    expect((await register({ ...job(rest, store), commands: changed })).outcome).toBe('registered');
    there.get('/applications/1/commands')?.pop();
    expect((await register({ ...job(rest, store), commands: changed })).outcome).toBe('registered');
    expect(puts).toHaveLength(3);
  });

  it('tells Discord’s ids by what can be run', async () => {
    const { rest } = registry();
    const store = chatStore();
    const { ids } = await register(job(rest, store));
    const post = commands.findIndex((c) => c.name === 'post');
    expect(ids.get('post done')).toBe(String(post));
    expect(ids.has('post')).toBe(false);
    expect((await register(job(rest, store))).ids).toEqual(ids);
  });

  it('keeps one server and everywhere apart', async () => {
    const { rest, puts } = registry();
    const store = chatStore();
    await register(job(rest, store, '77'));
    await register(job(rest, store));
    expect(puts).toEqual(['/applications/1/guilds/77/commands', '/applications/1/commands']);
  });

  it('holds two definitions the same whatever their order', () => {
    expect(canonical([...commands].reverse())).toBe(canonical(commands));
    expect(canonical(commands.slice(1))).not.toBe(canonical(commands));
  });
});
