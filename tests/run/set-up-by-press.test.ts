import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { expect, test } from 'vitest';
import { ScriptClock } from '../../src/chat/local/script-clock.ts';
import { startOnDiscord } from '../../src/run/discord.ts';
import { readSettings } from '../../src/settings.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { randomIds } from '../../src/system/ids.ts';
import { until, untilInTime } from '../chat/discord/bot.ts';
import { buttonLabels } from '../discord/compose.ts';
import { startStand } from '../discord/driver.ts';
import { ROOM } from '../helpers/room.ts';
import { instant, TOPO, ZONE } from '../helpers/world.ts';

/** The bot as it is run, from the moment a server adds it to a contact who has answered a rehearsal: presses alone. */
test('a server’s owner with a phone comes to a rehearsed contact', async () => {
  const folder = mkdtempSync(join(ROOM, 'tagline-presses-'));
  const clock = new ScriptClock(instant(ZONE, '2031-06-10 09:00'));
  const stand = await startStand({ clock });
  const [mara, dana, greta] = [
    stand.addUser('Mara'),
    stand.addUser('Dana'),
    stand.addUser('Greta'),
  ];
  const guild = stand.addGuild('Lantern Gorge', [mara, dana, greta]);
  guild.kicked = true;
  const wall = stand.addChannel(guild, 'harrow-tower');
  const home = stand.dm(dana);
  const store = openSqliteStore({ path: join(folder, 'trips.db') });
  const ports = { store, clock, ids: randomIds(), log: pino({ level: 'silent' }) };
  const settings = readSettings({ DISCORD_API_URL: stand.apiUrl, TAGLINE_DATA: folder });
  const bot = await startOnDiscord(ports, settings, stand.token);
  const newest = (channel: typeof wall) => {
    const message = channel.messages.at(-1);
    if (message === undefined) throw new Error('nothing was said');
    return message;
  };
  try {
    await bot.connected;
    await stand.commandsRegistered();
    stand.invite(guild);
    await until(() => wall.messages.length > 0);
    const welcome = newest(wall);
    const form = await stand.press(mara, welcome, 'Open a trip here');
    const opened = await stand.submitModal(mara, form, {
      'Name of the trip': 'Harrow Tower',
      'Without those, its time zone: a city': 'Oslo',
    });
    const add = async (label: string, fields: Parameters<typeof stand.submitModal>[2]) => {
      const asked = await stand.press(mara, opened, label);
      return (await stand.submitModal(mara, asked, fields)).text;
    };
    const file = { name: 'harrow.csv', bytes: new TextEncoder().encode(TOPO) };
    expect(await add('Load the topo', { 'A CSV file, a row a pitch': file })).toContain(
      '8 pitches',
    );
    expect(await add('Add a climber', { Name: 'Mara', 'Their account here': mara })).toMatch(
      /^Mara/u,
    );
    const ground = await add('Add ground crew', { Name: 'Greta', 'Their account here': greta });
    expect(ground).toContain('Greta: ground crew');
    expect(await add('Where it is', { 'Coordinates from a map': '62.10, 6.90' })).toContain('62.1');
    await add('Add a contact', { Name: 'Dana', 'Their account here': dana });

    await untilInTime(clock, () => home.messages.length > 0);
    expect((await stand.press(mara, welcome, 'What comes next')).buttons).not.toContain(
      'Rehearse the alarm',
    );
    await stand.press(dana, newest(home), 'Yes, I will');
    const asked = home.messages.length;
    const help = await stand.press(mara, welcome, 'What comes next');
    await stand.press(mara, help, 'Rehearse the alarm');
    await untilInTime(clock, () => home.messages.length > asked);
    const [answer] = buttonLabels(newest(home));
    await stand.press(dana, newest(home), answer ?? '');
    const next = await stand.press(mara, welcome, 'What comes next');
    expect(next.buttons).toEqual(['Emergency number', 'Timetable from a file']);
    expect(stand.refusals()).toEqual([]);
  } finally {
    await bot.close();
    await store.close();
    await stand.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
