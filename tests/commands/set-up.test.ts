import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { ScriptClock } from '../../src/chat/local/script-clock.ts';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { createLog } from '../../src/system/log.ts';
import { countingIds } from '../chat/fakes.ts';
import { startStand } from '../discord/driver.ts';
import { allAgree } from '../helpers/agree.ts';
import { bareBot, startDiscord } from '../helpers/bot.ts';
import { ROOM } from '../helpers/room.ts';
import { TOPO } from '../helpers/world.ts';
import { smallFeed, zipOf } from '../timetable/gtfs/feeds.ts';

/** From the moment the bot is added to a server to a party that could leave, by buttons and forms alone. */
test('a party is set up without a command being typed', async () => {
  const folder = mkdtempSync(join(ROOM, 'tagline-set-up-'));
  const clock = new ScriptClock(Date.UTC(2031, 5, 12, 4, 0));
  const stand = await startStand({ clock });
  const store = openSqliteStore({ path: join(folder, 'trips.db') });
  const app = bareBot({ store, clock, ids: countingIds(), log: createLog('silent') });
  const [mara, dana] = [stand.addUser('Mara'), stand.addUser('Dana')];
  const guild = stand.addGuild('Lantern Gorge', [mara, dana]);
  guild.kicked = true;
  const wall = stand.addChannel(guild, 'harrow-tower');
  const chat = await startDiscord({ app, token: stand.token, apiUrl: stand.apiUrl });
  try {
    await stand.commandsRegistered();
    stand.invite(guild);
    await stand.journal.until(() => wall.messages.length > 0);
    const [welcome, ...more] = wall.messages;
    expect(more).toEqual([]);
    if (welcome === undefined) throw new Error('no welcome');
    expect(welcome.content).toContain('It calls nobody and is no rescue service.');
    expect(stand.notified(mara)).toEqual([]);

    const open = await stand.press(mara, welcome, 'Open a trip here');
    // A list of cities that ends in the A's helps nobody.
    expect(open.modal.components.map((c) => 'label' in c && c.label)).not.toContain('Or pick it');
    const onMap = 'Where it is: coordinates from a map';
    const fields = { 'Name of the trip': 'Harrow Tower', [onMap]: `62°06'00.0"N 6°54'00.0"E` };
    const swapped = await stand.submitModal(mara, open, { ...fields, [onMap]: '162.1, 6.9' });
    expect(swapped.text).toContain('latitude comes first');
    const opened = await stand.submitModal(mara, open, fields);
    expect(opened.text).toContain('Harrow Tower is open in this channel.');
    expect(opened.text).toContain('Wall time Europe/Oslo');
    const people = ['Add a climber', 'Add ground crew', 'Add a contact'];
    expect(opened.buttons).toEqual(['Load the topo', ...people]);

    const topo = await stand.press(mara, opened, 'Load the topo');
    const file = { name: 'harrow.csv', bytes: new TextEncoder().encode(TOPO) };
    const loaded = await stand.submitModal(mara, topo, { 'A CSV file, a row a pitch': file });
    expect(loaded.text).toContain('8 pitches, 293 m.');
    // A file is needed: the app does not let the form go without one.
    const again = await stand.press(mara, opened, 'Load the topo');
    await expect(stand.submitModal(mara, again, {})).rejects.toThrow('is needed');

    const climber = await stand.press(mara, opened, 'Add a climber');
    const asMara = { Name: 'Mara', 'What they lead free': '6c', 'Their account here': mara };
    expect((await stand.submitModal(mara, climber, asMara)).text).toContain('leads free to 6c');
    const contact = await stand.press(mara, opened, 'Add a contact');
    const asDana = { Name: 'Dana', Phone: '+47 000 00 009', 'Their account here': dana };
    expect((await stand.submitModal(mara, contact, asDana)).text).toContain('Dana');
    const row = await store.openTripIn(wall.id);
    const trip = row === undefined ? undefined : await app.records.load(row.id);
    expect(trip?.state.people.map((p) => [p.name, p.userId])).toEqual([
      ['Mara', mara.id],
      ['Dana', dana.id],
    ]);

    await allAgree(app, row?.id as string);
    const help = await stand.slash(mara, wall, '/help');
    expect(help.buttons).toEqual([
      'Emergency number',
      'Timetable from a file',
      'Rehearse the alarm',
    ]);
    const number = await stand.press(mara, help, 'Emergency number');
    const set = await stand.submitModal(mara, number, { Number: '112' });
    expect(set.text).toContain('112');
    const feed = await stand.press(mara, help, 'Timetable from a file');
    const zip = { name: 'feed.zip', bytes: zipOf(smallFeed()) };
    const read = await stand.submitModal(mara, feed, { 'A GTFS feed, a zip file': zip });
    expect(read.text).toContain('Feed read: ');
    const form = await stand.press(mara, read, 'Pick your stop');
    const picked = await stand.submitModal(mara, form, { Stop: 'HEAD', Route: 'R' });
    expect(picked.text).toContain('Next shuttle: ');
    expect((await stand.slash(mara, wall, '/help')).buttons).toEqual(['Rehearse the alarm']);
    await stand.press(mara, help, 'Rehearse the alarm');

    // Thrown out and asked back in, it does not say it all again.
    const before = wall.messages.length;
    stand.kick(guild);
    stand.invite(guild);
    await stand.slash(mara, wall, '/help');
    expect(wall.messages.filter((m) => m.content === welcome.content)).toHaveLength(1);
    expect(wall.messages.length).toBeGreaterThanOrEqual(before);
    expect(stand.refusals()).toEqual([]);
  } finally {
    await chat.close();
    await store.close();
    await stand.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
