import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { load as loadFeed } from '../../commands/shuttle/load.ts';
import type { Call, RawArgs } from '../../src/app/command.ts';
import { tooLarge } from '../../src/chat/file-arg.ts';
import { MAIN_CHANNEL } from '../../src/chat/local/speaker.ts';
import { GTFS_LIMITS } from '../../src/timetable/gtfs/limits.ts';
import { climb } from '../app/forecast/said.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { EXAMPLE, smallFeed, zipOf } from '../timetable/gtfs/feeds.ts';

const DAY = '2031-06-12';
let w: World;
afterEach(() => w.close());

async function demo(): Promise<void> {
  w = await world();
  await openDemo(w);
  await climb(w, DAY, [['05:30', 'mara', '/trip edit descent_min:60']]);
}
const zip = (name: string, bytes: Uint8Array) => writeFileSync(join(w.folder, name), bytes);
const shuttle = async () => (await w.trip()).state.shuttle;
const add = (times: string, name = 'boat') =>
  w.say('mara', `/shuttle add times:"${times}" name:${name}`);

/** What is offered for an option of /shuttle pick while it is typed. */
async function offered(option: string, typed: string, others: RawArgs = {}): Promise<unknown[]> {
  const def = w.app.commands.find((c) => c.name === 'shuttle')?.subs?.pick?.options[option];
  if (def?.type !== 'string' || def.suggest === undefined) throw new Error('no completion');
  const call: Call = {
    id: 'x',
    atMs: w.clock.wallMs(),
    actor: { id: 'local:mara', name: 'Mara' },
    where: { channel: MAIN_CHANNEL, direct: false },
  };
  return def.suggest(call, typed, w.app, others);
}

describe('a timetable typed', () => {
  it('is said back as it was understood, with the one they will make', async () => {
    await demo();
    const reply = await add('first 06:20, last 18:40, every 20 min, 1 May–12 Oct, not Sundays');
    const said = text(reply).split('\n');
    // 06:20 to 18:40 is 12 h 20, so 37 intervals of 20 min and 38 departures.
    expect(said[1]).toBe('06:20 to 18:40 every 20 min (38 a day), 1 May–12 Oct, not Sun');
    expect(said[2]).toBe('Next boat: 06:20, 06:40, 07:00.');
    expect(said[3]).toMatch(/^On the boat (Fri )?\d\d:\d0 \(cautious (Fri )?\d\d:\d0\)\.$/);
    expect(said[4]).toMatch(/^Last boat (Fri )?18:40: .*\.$/);
  });

  it('that can’t be read changes nothing and says how to write one', async () => {
    await demo();
    await add('06:20, 18:40');
    const before = await w.trip();
    const reply = await add('whenever it likes');
    expect(reply.refused).toBe(true);
    expect(text(reply)).toMatch(/^Can't read "whenever it likes"\. Say times \(first, last, every/);
    expect((await w.trip()).state.entries).toEqual(before.state.entries);
  });

  it('that doesn’t run for long says when it does', async () => {
    await demo();
    const reply = await add('06:20, 18:40, 1 Jul–12 Oct');
    expect(text(reply)).toContain(
      "The boat doesn't run in the next ten days; the first is Tue 1 Jul 06:20.",
    );
    const never = await add('10:00, 1 Jun 2030–3 Jun 2030');
    if (never.refused !== true) expect(text(never)).toContain('nor within a year');
  });

  it('replaces the one before, which Undo brings back', async () => {
    await demo();
    await add('06:20, 18:40');
    const first = await shuttle();
    await add('09:00', 'bus');
    expect((await shuttle())?.name).toBe('bus');
    await w.say('mara', '[Undo]');
    expect(await shuttle()).toEqual(first);
  });

  it('skips Sundays: the last one then is Saturday’s or Monday’s', async () => {
    await demo();
    await add('07:00, 18:40, not Sundays');
    w.at('2031-06-14 18:41');
    expect(text(await w.say('mara', '/shuttle next')).split('\n')[0]).toBe(
      'Next boat: Mon 07:00, Mon 18:40 (last), Tue 07:00.',
    );
  });

  it('when it is likely missed asks for the walk, or tells it', async () => {
    await demo();
    await add('06:20, 14:00');
    expect(text(await w.say('mara', '/shuttle next'))).toContain(
      'Is there a walk? /trip edit walk:',
    );
    await w.say('mara', '/trip edit walk_km:11');
    const told = text(await w.say('mara', '/shuttle next'));
    expect(told).toMatch(
      /^On foot, out by \d\d:\d\d \(cautious .*\)\. Having to walk out: \d in \d+\.$/m,
    );
    // Walking out, it is the boat they miss that binds, not tomorrow's.
    expect(told).toMatch(/^Last boat 14:00: \d in \d+; Fri 14:00: .+\.$/m);
    expect(told).toContain('11 km on foot');
    await w.say('mara', '/trip edit units:ft');
    expect(text(await w.say('mara', '/shuttle next'))).toContain('6.8 mi on foot');
  });

  it('has no forecast before the topo and none after everyone is down', async () => {
    w = await world();
    await w.say('mara', '/trip open name:Bare zone:Europe/Oslo');
    expect(text(await w.say('mara', '/shuttle next'))).toContain('There is no timetable yet.');
    const reply = await add('06:20, 18:40');
    expect(text(reply)).toContain('Which one you will make needs a topo: /topo load.');
    await climb(w, DAY, [
      ['07:00', 'mara', '/trip depart'],
      ['09:00', 'mara', '/trip down'],
    ]);
    expect(text(await w.say('mara', '/shuttle next'))).toBe(
      'Next boat: 18:40 (last), Fri 06:20, Fri 18:40 (last).',
    );
  });
});

describe('a GTFS feed', () => {
  const load = (name: string) => w.say('mara', `/shuttle load file:${name}`);

  it('is read through, then stop, route and direction are picked by name', async () => {
    // The example feed of the GTFS reference, in its own year.
    w = await world();
    w.at('2007-06-01 12:00');
    await openDemo(w);
    zip('feed.zip', zipOf(EXAMPLE));
    expect(text(await load('feed.zip'))).toContain(
      'Feed read: 9 stops, 5 routes, times in America/Los_Angeles, 2007-01-01 to 2010-12-31.',
    );
    expect(await offered('stop', 'nye')).toEqual([
      { name: 'Nye County Airport (Demo)', value: 'BEATTY_AIRPORT' },
    ]);
    const stop = 'BEATTY_AIRPORT';
    expect(await offered('route', '', { stop })).toHaveLength(2);
    expect(await offered('direction', '', { stop, route: 'AAMV' })).toEqual([
      { name: 'to Amargosa Valley', value: '0' },
    ]);
    const reply = await w.say(
      'mara',
      '/shuttle pick stop:"Nye County Airport (Demo)" route:AAMV direction:"to amargosa valley" name:bus',
    );
    // calendar.txt: weekends only. 08:00 and 13:00 in California are 17:00 and 22:00 at the wall.
    expect(text(reply)).toContain('Next bus: Sat 17:00, Sat 22:00 (last), Sun 17:00.');
    expect(text(reply)).toContain('Taken up to 11 Jul 2007; for later days load it again.');
    expect((await shuttle())?.timetable.clock).toBe('gtfs');
  });

  it('asks which way where it leaves in both, and refuses one it doesn’t have', async () => {
    w = await world();
    w.at('2007-06-05 03:00');
    await openDemo(w);
    zip('feed.zip', zipOf(EXAMPLE));
    await load('feed.zip');
    const asked = await w.say('mara', '/shuttle pick stop:NADAV route:CITY');
    expect([asked.refused, text(asked)]).toEqual([
      true,
      'Which way? It leaves in more than one.\n' +
        'There is: Direction 0 (direction:0); Direction 1 (direction:1).',
    ]);
    const wrong = await w.say('mara', '/shuttle pick stop:NADAV route:CITY direction:north');
    expect(text(wrong)).toContain("It doesn't leave in direction north.");
    const stop = await w.say('mara', '/shuttle pick stop:Nowhere route:CITY');
    expect(text(stop)).toMatch(/^The feed has no stop Nowhere\.\nThere is: /);
    const route = await w.say('mara', '/shuttle pick stop:NADAV route:Express');
    expect(text(route)).toBe('The feed has no route Express.\nThere is: 40 City.');
    // A route is called 40 City: its name alone is enough, where no other has it.
    const named = await w.say('mara', '/shuttle pick stop:NADAV route:City');
    expect(text(named)).toMatch(/^Which way\?/u);
    const gone = await w.say('mara', '/shuttle pick stop:AMV route:CITY');
    expect(text(gone)).toContain(
      'Nothing of this route and direction can be boarded at this stop.',
    );
    expect(await shuttle()).toBeUndefined();
    const runs = await w.say('mara', '/shuttle pick stop:NADAV route:CITY direction:1');
    expect(text(runs)).toContain('allow one interval more');
  });

  it('asks which way by the sign in front where the feed has no directions', async () => {
    await demo();
    const times = 'trip_id,arrival_time,departure_time,stop_id,stop_sequence';
    // Two ways from the landing in the middle, told apart by trip_headsign alone (GTFS reference, trips.txt:
    // direction_id is optional).
    zip(
      'lake.zip',
      zipOf(
        smallFeed({
          'trips.txt':
            'route_id,service_id,trip_id,trip_headsign\nR,D,T1,Lantern Quay\nR,D,T2,Town\n',
          'stop_times.txt': `${times}\nT1,10:00:00,10:00:00,HEAD,1\nT1,11:00:00,11:00:00,QUAY,2\nT2,15:00:00,15:00:00,HEAD,1\nT2,16:00:00,16:00:00,TOWN,2\n`,
        }),
      ),
    );
    await load('lake.zip');
    expect(await offered('direction', '', { stop: 'HEAD', route: 'R' })).toEqual([
      { name: 'Lantern Quay', value: 'Lantern Quay' },
      { name: 'Town', value: 'Town' },
      { name: 'All of them', value: 'any' },
    ]);
    const asked = await w.say('mara', '/shuttle pick stop:HEAD route:R');
    expect([asked.refused, text(asked)]).toEqual([
      true,
      expect.stringMatching(
        /^Which way\? .*\nThere is: Lantern Quay \(direction:Lantern Quay\); Town/,
      ),
    ]);
    await w.say('mara', '/shuttle pick stop:HEAD route:R direction:town');
    const picked = (await shuttle())?.timetable;
    expect(picked?.label).toMatch(/Town$/);
    expect(picked?.services.map((s) => s.times)).toEqual([[15 * 3600]]);
    await w.say('mara', '/shuttle pick stop:HEAD route:R direction:any');
    const all = (await shuttle())?.timetable.services.flatMap((s) => s.times);
    expect(all).toEqual([10 * 3600, 15 * 3600]);
  });

  it('with a bad row on another route is read, and that route is named', async () => {
    await demo();
    const times = 'trip_id,arrival_time,departure_time,stop_id,stop_sequence';
    zip(
      'bad-bus.zip',
      zipOf(
        smallFeed({
          'routes.txt':
            'route_id,route_short_name,route_long_name,route_type\nR,1,Gorge Boat,4\nX,2,Night Bus,3\n',
          'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\nX,D,T2\n',
          'stop_times.txt': `${times}\nT1,10:00:00,10:00:00,HEAD,1\nT1,10:40:00,10:40:00,QUAY,2\nT2,25:99:00,,HEAD,1\n`,
        }),
      ),
    );
    expect(text(await load('bad-bus.zip'))).toContain(
      'Left out, 2 Night Bus: stop_times.txt, line 4: arrival_time "25:99:00" isn\'t a time like 14:30:00.',
    );
    expect((await w.say('mara', '/shuttle pick stop:HEAD route:X')).refused).toBe(true);
    await w.say('mara', '/shuttle pick stop:HEAD route:R');
    expect((await shuttle())?.timetable.services.map((s) => s.times)).toEqual([[10 * 3600]]);
  });

  it('counts past midnight and over a clock change as the reference says', async () => {
    w = await world();
    w.at('2031-03-29 12:00');
    await openDemo(w);
    // Noon minus twelve hours: on 30 March 2031 Norway's clock leaves out 02:00 to 03:00, so 06:00:00
    // of that service day is 06:00 by the clock, and 25:30:00 of the day before is 01:30.
    const times = 'trip_id,arrival_time,departure_time,stop_id,stop_sequence\n';
    zip(
      'night.zip',
      zipOf(
        smallFeed({
          'trips.txt': 'route_id,service_id,trip_id\nR,D,T1\nR,D,T2\n',
          'stop_times.txt': `${times}T1,25:30:00,25:30:00,HEAD,1\nT1,26:00:00,26:00:00,QUAY,2\nT2,6:00:00,6:00:00,HEAD,1\nT2,6:40:00,6:40:00,QUAY,2\n`,
        }),
      ),
    );
    await load('night.zip');
    const reply = await w.say('mara', '/shuttle pick stop:"Gorge Head" route:R name:boat');
    expect(text(reply)).toContain('Next boat: Sun 01:30 (last), Sun 06:00, Mon 01:30 (last).');
  });

  it('that is wrong is refused with file, line and reason, and nothing is changed', async () => {
    await demo();
    await add('06:20, 18:40');
    const before = (await w.trip()).state;
    const times = 'trip_id,arrival_time,departure_time,stop_id,stop_sequence\n';
    const wrong: [string, Uint8Array, RegExp][] = [
      ['text.zip', new TextEncoder().encode('no zip at all'), /isn't a zip|zip/i],
      [
        'stops.zip',
        zipOf(smallFeed({ 'stops.txt': 'stop_id,stop_name\nQUAY,A\nQUAY,B\n' })),
        /stops\.txt, line 3: stop_id QUAY comes twice\./,
      ],
      [
        'times.zip',
        zipOf(smallFeed({ 'stop_times.txt': `${times}T1,10:00:00,ten,HEAD,1\n` })),
        /stop_times\.txt, line 2: /,
      ],
      ['agency.zip', zipOf(smallFeed({ 'agency.txt': '' })), /agency\.txt: The file is missing\./],
      // A million zeros pack a thousandfold: a zip bomb in small.
      [
        'bomb.zip',
        zipOf(smallFeed({ 'stops.txt': `stop_id,stop_name\nQUAY,${'0'.repeat(4_000_000)}\n` })),
        /stops\.txt/,
      ],
    ];
    for (const [name, bytes, reason] of wrong) {
      zip(name, bytes);
      let reply = await load(name);
      // Some faults show only when one line's times are taken.
      if (reply.refused !== true) reply = await w.say('mara', '/shuttle pick stop:HEAD route:R');
      expect([name, reply.refused, text(reply)]).toEqual([
        name,
        true,
        expect.stringMatching(reason),
      ]);
    }
    expect((await w.trip()).state).toEqual(before);
  });

  it('is waited for per trip, and has to be loaded before anything is picked', async () => {
    await demo();
    expect(await offered('stop', '')).toEqual([]);
    expect(text(await w.say('mara', '/shuttle pick stop:HEAD route:R'))).toBe(
      'No feed is waiting to be picked from.\n/shuttle load takes the zip file.',
    );
    const missing = await w
      .say('mara', '/shuttle load file:gone.zip')
      .catch((e: Error) => e.message);
    expect(typeof missing === 'string' ? missing : text(missing)).toContain('gone.zip');
    const outsider = await w.say('stray', '/shuttle pick stop:HEAD route:R');
    expect(outsider.refused).toBe(true);
  });

  it('over the size limit is refused before it is read', async () => {
    await demo();
    const asked: number[] = [];
    const file = {
      name: 'huge.zip',
      size: 2 ** 31,
      bytes: (most: number) => {
        asked.push(most);
        return Promise.reject(tooLarge('huge.zip', most));
      },
    };
    const call: Call = {
      id: 'y',
      atMs: w.clock.wallMs(),
      actor: { id: 'local:mara', name: 'Mara' },
      where: { channel: MAIN_CHANNEL, direct: false },
    };
    await expect(loadFeed.run(call, { file }, w.app)).rejects.toThrow();
    expect(asked).toEqual([GTFS_LIMITS.zipBytes]);
    expect(await offered('stop', '')).toEqual([]);
  });
});
