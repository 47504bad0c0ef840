import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { ComponentType, PermissionFlagsBits } from 'discord.js';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { buildBot, buildCore } from '../../../src/bot.ts';
import { boardChannel } from '../../../src/chat/discord/board.ts';
import { DiscordChat } from '../../../src/chat/discord/client.ts';
import { createOutgoing } from '../../../src/chat/discord/outgoing.ts';
import { discordRest } from '../../../src/chat/discord/rest.ts';
import { Surface } from '../../../src/chat/discord/surface.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { pictures } from '../../../src/page/picture/pictures.ts';
import { makeBoards } from '../../../src/run/boards.ts';
import { openSqliteStore } from '../../../src/store/sqlite/store.ts';
import { startStand } from '../../discord/driver.ts';
import { everyComponent } from '../../discord/schemas/components.ts';
import { ALONE } from '../../helpers/bot.ts';
import { ROOM } from '../../helpers/room.ts';
import { instant, TOPO, ZONE } from '../../helpers/world.ts';
import { countingIds } from '../fakes.ts';
import { until, untilInTime } from './bot.ts';

/** The whole bot with its real commands and store, logged into the strict stand-in. */
async function start() {
  const folder = mkdtempSync(join(ROOM, 'tagline-board-'));
  const store = openSqliteStore({ path: join(folder, 'trips.db') });
  const clock = new ScriptClock(instant(ZONE, '2031-06-12 06:10'));
  const stand = await startStand({ clock });
  const mara = stand.addUser('Mara');
  const guild = stand.addGuild('Lantern Gorge', [mara]);
  const wall = stand.addChannel(guild, 'harrow-tower');
  const ports = { store, clock, ids: countingIds(), log: pino({ level: 'silent' }) };
  const surface = new Surface(store, ports.log);
  const outgoing = createOutgoing(discordRest(stand), surface);
  /** The bot as it is after each start: nothing but the file is left of the one before. */
  const startBot = async () => {
    const core = buildCore(ports, pictures);
    const board = makeBoards(core, outgoing, 'test/1/1');
    const app = buildBot(core, { ...ALONE, board });
    const chat = new DiscordChat({
      app,
      outgoing,
      surface,
      token: stand.token,
      apiUrl: stand.apiUrl,
    });
    await board.start();
    await chat.connect();
    return {
      async close() {
        await chat.close();
        await board.close();
      },
    };
  };
  let running = await startBot();
  await stand.commandsRegistered();
  const slash = (path: string, options = {}) => stand.slash(mara, wall, path, options);
  await slash('/trip open', { name: 'Harrow Tower', zone: ZONE, lat: 62.1, lon: 6.9 });
  await slash('/topo load', { file: { name: 'harrow.csv', bytes: Buffer.from(TOPO) } });
  await slash('/roster add', { name: 'Mara', free: '6c', aid: 'A2' });
  await slash('/roster add', { name: 'Jonas', free: '6c', aid: 'A2' });
  return {
    stand,
    surface,
    mara,
    wall,
    clock,
    slash,
    /** The pinned message as people see it. */
    pinned: () => stand.sees(mara, wall).filter((m) => m.pinnedAtMs !== undefined),
    requests: () => stand.journal.of('request').map((r) => r.route),
    async restart() {
      await running.close();
      running = await startBot();
      await stand.ready();
    },
    async close() {
      await running.close();
      await stand.close();
      await store.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

let bot: Awaited<ReturnType<typeof start>>;
beforeEach(async () => {
  bot = await start();
});
afterEach(() => bot.close());

const PATCH = 'PATCH /channels/:channel/messages/:message';
const edits = () => bot.requests().filter((route) => route === PATCH).length;

/** Time goes on by what the board waits, until it has been changed once more. */
const untilEdited = (before: number) => untilInTime(bot.clock, () => edits() > before);

describe('the picture in Discord', () => {
  it('comes with /topout and /schedule, with words for those who cannot see it', async () => {
    const { slash, stand } = bot;
    await slash('/trip depart');
    await slash('/schedule set');
    for (const path of ['/topout', '/schedule show']) {
      const answer = await slash(path);
      const [file] = answer.messages.flatMap((m) => m.files);
      expect(file?.attachment.filename).toBe('trip.png');
      expect(file?.attachment.content_type).toBe('image/png');
      expect(file?.attachment.description).toContain('Height against time for Harrow Tower');
    }
    expect(stand.refusals()).toEqual([]);
  });
});

describe('the board in Discord', () => {
  it('is pinned with its picture, follows a press of its own button, and nothing is refused', async () => {
    const { slash, stand, mara, pinned } = bot;
    await slash('/trip depart');
    const answer = await slash('/board');
    expect(answer.text).toBe('The board is up to date and pinned.');
    const [board] = pinned();
    if (board === undefined) throw new Error('no board');
    expect(board.content).toContain(
      "Harrow Tower: Departed 06:10, going in; the first pitch isn't begun.",
    );
    expect(board.content).toContain('Top-out');
    expect(board.files[0]?.attachment.filename).toBe('trip.png');
    expect(board.files[0]?.attachment.description).toContain('Height against time');
    const before = edits();
    const press = await stand.press(mara, board, 'Pitch 1 done');
    expect(press.text).toContain('Pitch 1 done');
    await untilEdited(before);
    expect(pinned()).toHaveLength(1);
    expect(pinned()[0]?.content).toContain('1 of 8 pitches done; pitch 2 next');
    const form = await stand.press(mara, pinned()[0] ?? board, 'Pitch 2 done at…');
    // No time at all for 42 m: asked back before it is recorded.
    const asked = await stand.submitModal(mara, form, { 'When was it?': '06:10' });
    const told = await stand.press(mara, asked, 'Yes, 0 min');
    expect(told.text).toContain('Pitch 2 done at 06:10');
    expect(stand.refusals()).toEqual([]);
  });

  it('comes back pinned when somebody deletes it, and is the same one after a restart', async () => {
    const { slash, stand, pinned } = bot;
    await slash('/trip depart');
    await slash('/board');
    const first = pinned()[0];
    await bot.restart();
    await until(() => edits() > 0);
    expect(pinned().map((m) => m.id)).toEqual([first?.id]);
    if (first === undefined) throw new Error('no board');
    const message = stand.core.world.messages.get(first.id);
    if (message === undefined) throw new Error('no message');
    message.deleted = true;
    bot.wall.messages.splice(bot.wall.messages.indexOf(message), 1);
    await slash('/pitch done', { number: 1 });
    await untilInTime(bot.clock, () => pinned().length === 1);
    expect(pinned()[0]?.id).not.toBe(first.id);
    expect(pinned()[0]?.content).toContain('1 of 8 pitches done');
  });

  it('says what to grant, one permission at a time', async () => {
    const { slash, wall, pinned } = bot;
    const all = wall.botPermissions;
    wall.botPermissions = all & ~PermissionFlagsBits.PinMessages;
    expect((await slash('/board')).text).toContain('not pinned. Grant tagline Pin Messages');
    expect(pinned()).toEqual([]);
    wall.botPermissions = all & ~PermissionFlagsBits.AttachFiles;
    await slash('/board');
    wall.botPermissions = all;
    expect((await slash('/board')).text).toBe('The board is up to date and pinned.');
    expect(pinned()).toHaveLength(1);
    expect(pinned()[0]?.files).toHaveLength(1);
  });

  it('is shown in words alone where no file may be attached, and not at all where nothing may be written', async () => {
    const { slash, wall, pinned } = bot;
    const all = wall.botPermissions;
    wall.botPermissions = all & ~PermissionFlagsBits.SendMessages;
    expect((await slash('/board')).text).toContain('Grant it View Channel, Send Messages');
    wall.botPermissions = all & ~PermissionFlagsBits.AttachFiles;
    const bare = await slash('/board');
    expect(bare.text).toContain('Without its picture: grant tagline Attach Files');
    expect(pinned()[0]?.files).toEqual([]);
    expect(pinned()[0]?.content).toContain('Harrow Tower');
  });

  it('is one card with its picture and buttons, also where an earlier release left a message of words', async () => {
    const { slash, stand, pinned } = bot;
    await slash('/trip depart');
    await slash('/board');
    const card = pinned()[0];
    if (card === undefined) throw new Error('no board');
    expect(card.components.map((c) => c.type)).toEqual([ComponentType.Container]);
    const inside = everyComponent(card.components).map((c) => c.type);
    expect(inside).toContain(ComponentType.MediaGallery);
    expect(inside).toContain(ComponentType.Button);
    // As if it had been posted by a release that knew no cards.
    const message = stand.core.world.messages.get(card.id);
    if (message === undefined) throw new Error('no message');
    Object.assign(message, { flags: 0, components: [], content: 'Harrow Tower' });
    await bot.restart();
    await until(() => edits() > 0);
    expect(pinned().map((m) => m.id)).toEqual([card.id]);
    expect(everyComponent(pinned()[0]?.components ?? []).map((c) => c.type)).toEqual(inside);
    expect(stand.refusals()).toEqual([]);
  });

  it('stays a card when all it can say is that the record can’t be read', async () => {
    const { slash, stand, wall, mara } = bot;
    await slash('/trip depart');
    await slash('/board');
    const [board] = bot.pinned();
    const outgoing = boardChannel(createOutgoing(discordRest(stand), bot.surface));
    const place = { channel: wall.id, message: board?.id ?? '' };
    const message = { reply: { lines: ['Not to be read.'] }, trip: 'x', nowMs: 0 };
    expect(await outgoing.edit(place, message)).toEqual({ ok: true, value: place });
    expect(stand.sees(mara, wall).find((m) => m.id === board?.id)?.content).toBe('Not to be read.');
  });
});

describe('the sheet in Discord', () => {
  it('is a card for the asker’s eyes, and plain words where a card is refused', async () => {
    const { slash, stand, mara, wall } = bot;
    await slash('/trip depart');
    const sheet = await slash('/overdue sheet');
    expect([sheet.private, sheet.text]).toEqual([true, expect.stringContaining('Party of 2.')]);
    expect(sheet.messages.flatMap((m) => m.components.map((c) => c.type))).toContain(
      ComponentType.Container,
    );
    stand.faults.add({
      route: 'POST /interactions/:interaction/:token/callback',
      fault: { what: 'code', status: 400, code: 50035 },
    });
    const again = await stand.slash(mara, wall, '/overdue sheet', {}, { allowRefusals: true });
    await until(() => again.messages.length > 0);
    expect([again.private, again.text]).toEqual([true, sheet.text]);
    expect(again.message.components).toEqual([]);
  });
});
