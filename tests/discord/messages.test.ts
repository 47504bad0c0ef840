import { ApplicationCommandType, PermissionFlagsBits, type TextChannel } from 'discord.js';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Scene, scene } from './help.ts';

let s: Scene;
let wall: TextChannel;

beforeEach(async () => {
  s = await scene();
  await s.login();
  wall = s.client.channels.cache.get(s.wall.id) as TextChannel;
});
afterEach(() => s.end());

describe('messages of a channel', () => {
  test('are sent, fetched, edited and deleted', async () => {
    const sent = await wall.send('One.');
    expect((await wall.messages.fetch({ message: sent.id, force: true })).content).toBe('One.');
    await sent.edit('Two.');
    await wall.send('Three.');
    const listed = await wall.messages.fetch({ limit: 10 });
    expect(listed.map((m) => m.content)).toEqual(['Three.', 'Two.']);
    await sent.delete();
    expect(s.stand.sees(s.jonas, s.wall).map((m) => m.content)).toEqual(['Three.']);
    const kinds = s.stand.journal.entries.map((e) => e.kind);
    expect(kinds.filter((k) => ['message', 'edit', 'delete'].includes(k))).toEqual([
      'message',
      'edit',
      'message',
      'delete',
    ]);
    const again = wall.messages.fetch({ message: sent.id, force: true });
    await expect(again).rejects.toMatchObject({ code: 10008 });
  });

  test('carry files whose bytes can be had again, and edits replace them', async () => {
    const file = (name: string, text: string) => ({ name, attachment: Buffer.from(text) });
    const sent = await wall.send({
      files: [{ ...file('å topo.csv', '1'), description: 'The topo' }],
    });
    const attachment = sent.attachments.first();
    expect(attachment).toMatchObject({ name: 'å topo.csv', size: 1, description: 'The topo' });
    expect(await (await fetch(attachment?.url ?? '')).text()).toBe('1');
    const edited = await sent.edit({ files: [file('b.csv', '2')], attachments: [] });
    expect(edited.attachments.map((a) => a.name)).toEqual(['b.csv']);
  });

  test('of other people can’t be edited, nor read without the intent for it', async () => {
    const said = s.stand.say(s.mara, s.wall, 'On the ledge.');
    const fetched = await wall.messages.fetch(said.id);
    expect(fetched.content).toBe('');
    await expect(fetched.edit('Mine.')).rejects.toThrow();
    const path = `/channels/${s.wall.id}/messages/${said.id}` as const;
    const edit = s.client.rest.patch(path, { body: { content: 'Mine.' } });
    await expect(edit).rejects.toMatchObject({ code: 50005, status: 403 });
  });

  test('are pinned by the newer and the older route, and need the permission', async () => {
    const sent = await wall.send('Board.');
    await sent.pin();
    expect((await wall.messages.fetchPins()).items.map((p) => p.message.id)).toEqual([sent.id]);
    await s.client.rest.delete(`/channels/${s.wall.id}/pins/${sent.id}`);
    expect((await wall.messages.fetchPins()).items).toEqual([]);
    s.wall.botPermissions &= ~PermissionFlagsBits.PinMessages;
    await expect(sent.pin()).rejects.toMatchObject({ code: 50013 });
  });
});

describe('the same nonce', () => {
  const send = (content: string) => wall.send({ content, nonce: 'n1', enforceNonce: true });

  test('gives the first message again within a few minutes, and a new one later', async () => {
    const first = await send('Overdue.');
    s.clock.advance(3 * 60_000);
    expect((await send('Overdue again.')).id).toBe(first.id);
    s.clock.advance(1);
    expect((await send('Overdue once more.')).id).not.toBe(first.id);
    expect(s.stand.sees(s.mara, s.wall).map((m) => m.content)).toEqual([
      'Overdue.',
      'Overdue once more.',
    ]);
    expect(s.stand.journal.of('folded')).toMatchObject([{ id: first.id, nonce: 'n1' }]);
  });

  test('without enforce_nonce it folds nothing', async () => {
    await wall.send({ content: 'a', nonce: 'n2' });
    await wall.send({ content: 'a', nonce: 'n2' });
    expect(s.stand.sees(s.mara, s.wall)).toHaveLength(2);
  });
});

describe('direct messages', () => {
  test('reach the person, and only them', async () => {
    const user = await s.client.users.fetch(s.dana.id);
    await user.send('They are late.');
    expect(s.stand.sees(s.dana, s.stand.dm(s.dana)).map((m) => m.content)).toEqual([
      'They are late.',
    ]);
    expect(s.stand.sees(s.mara, s.stand.dm(s.dana))).toEqual([]);
    expect(s.stand.notified(s.dana)).toHaveLength(1);
  });

  test('closed ones are 50007, without a shared server 50278', async () => {
    const user = await s.client.users.fetch(s.dana.id);
    s.dana.dmClosed = true;
    await expect(user.send('x')).rejects.toMatchObject({ code: 50007, status: 403 });
    s.dana.dmClosed = false;
    s.guild.members.delete(s.dana.id);
    await expect(user.send('x')).rejects.toMatchObject({ code: 50278 });
  });
});

describe('pings', () => {
  const pinged = async (content: string, allowedMentions?: object) => {
    const sent = await wall.send({ content, ...(allowedMentions ? { allowedMentions } : {}) });
    return s.stand.core.world.messages.get(sent.id)?.pings.users.length;
  };

  /** resources/message.mdx, Allowed Mentions Examples. */
  test('need the mention in the text and the leave for it', async () => {
    const mention = `<@${s.dana.id}>`;
    expect(await pinged(mention)).toBe(1);
    expect(await pinged(mention, { parse: [] })).toBe(0);
    expect(await pinged(mention, { parse: ['users'] })).toBe(1);
    expect(await pinged(mention, { users: [s.dana.id] })).toBe(1);
    expect(await pinged(mention, { users: [s.mara.id] })).toBe(0);
    expect(await pinged('Dana', { users: [s.dana.id] })).toBe(0);
    expect(await pinged(`\`${mention}\``)).toBe(0);
    expect(await pinged(`\`\`\`\n${mention}\n\`\`\``)).toBe(0);
    expect(s.stand.notified(s.dana)).toHaveLength(3);
    expect(s.stand.notified(s.mara)).toHaveLength(0);
  });

  test('everyone is pinged only by a bot that may', async () => {
    await wall.send('@everyone');
    expect(s.stand.notified(s.dana)).toHaveLength(0);
    s.wall.botPermissions |= PermissionFlagsBits.MentionEveryone;
    await wall.send('@everyone');
    expect(s.stand.notified(s.dana)).toHaveLength(1);
    await wall.send({ content: '@everyone', allowedMentions: { parse: [] } });
    expect(s.stand.notified(s.dana)).toHaveLength(1);
  });

  test('edits ping nobody, and filling in a deferred answer is an edit', async () => {
    await s.client.application?.commands.set([{ name: 'c', description: 'd' }]);
    s.answering(async (i) => {
      if (!i.isChatInputCommand()) return;
      await i.deferReply();
      await i.editReply(`<@${s.dana.id}>`);
      await i.followUp(`<@${s.dana.id}> again`);
    });
    const answer = await s.stand.slash(s.mara, s.wall, '/c');
    await answer.whenMessages(2);
    expect(s.stand.notified(s.dana).map((m) => m.content)).toEqual([`<@${s.dana.id}> again`]);
  });
});

describe('commands', () => {
  const set = (names: string[], guild?: string) =>
    s.client.application?.commands.set(
      names.map((name) => ({ name, description: 'd' })),
      guild as never,
    );

  test('an overwrite keeps the ids of those that stay and removes the rest', async () => {
    const before = await set(['a', 'b']);
    const after = await set(['b', 'c']);
    const id = (list: typeof after, name: string) => list?.find((c) => c.name === name)?.id;
    expect(id(after, 'b')).toBe(id(before, 'b'));
    expect([...((await s.client.application?.commands.fetch()) ?? [])].length).toBe(2);
  });

  test('one by one: create, overwrite by name, edit, delete', async () => {
    const commands = s.client.application?.commands;
    const made = await commands?.create({ name: 'a', description: 'd' });
    const again = await commands?.create({ name: 'a', description: 'e' });
    expect(again?.id).toBe(made?.id);
    const edited = await again?.edit({ description: 'f' });
    expect(edited?.description).toBe('f');
    await edited?.delete();
    await expect(edited?.delete()).rejects.toMatchObject({ code: 10063 });
  });

  test('of a server are offered there and nowhere else', async () => {
    await set(['here'], s.guild.id);
    s.answering(async (i) => (i.isRepliable() ? i.reply('Yes.') : undefined));
    expect((await s.stand.slash(s.mara, s.wall, '/here')).text).toBe('Yes.');
    await expect(s.stand.slash(s.mara, s.stand.dm(s.mara), '/here')).rejects.toThrow(/no command/u);
  });

  test('contexts and permissions decide who sees them', async () => {
    await s.client.application?.commands.set([
      { name: 'a', description: 'd', contexts: [0], type: ApplicationCommandType.ChatInput },
      { name: 'b', description: 'd', defaultMemberPermissions: 0n },
    ]);
    s.answering(async (i) => (i.isRepliable() ? i.reply('Yes.') : undefined));
    const inDm = s.stand.slash(s.mara, s.stand.dm(s.mara), '/a');
    await expect(inDm).rejects.toThrow(/direct messages/u);
    // Mara owns the server, Jonas is an ordinary member.
    expect((await s.stand.slash(s.mara, s.wall, '/b')).text).toBe('Yes.');
    await expect(s.stand.slash(s.jonas, s.wall, '/b')).rejects.toThrow(/not offered to Jonas/u);
  });

  test('201 creates in a day are 30034; overwriting the same ones costs none', async () => {
    const names = (from: number) => Array.from({ length: 100 }, (_, i) => `c${from + i}`);
    await set(names(0));
    await set(names(0));
    await set(names(100));
    await expect(set(['one-more'])).rejects.toMatchObject({ code: 30034 });
    s.clock.advance(86_400_000);
    expect((await set(['one-more']))?.size).toBe(1);
  });
});
