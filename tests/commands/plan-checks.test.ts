import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

async function said(line: string, who = 'mara'): Promise<string> {
  const reply = await w.say(who, line);
  expect(reply.refused, text(reply)).toBeUndefined();
  return text(reply);
}
const lineOf = (answer: string, name: string) =>
  answer.split('\n').find((line) => line.includes(` ${name}`)) ?? '';

describe('/plan check', () => {
  it('holds lines against the topo, links with what they keep back', async () => {
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      'ok Ropes: lead line 70 m, longest lead 45 m.',
    );
    await said('/trip edit ropes:"lead 40"');
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      'NO Ropes: the lead from pitch 4 is 45 m, the lead line 40 m.',
    );
    expect(await said('/trip depart')).toContain('Warning: Ropes: the lead from pitch 4 is 45 m');
  });

  it('holds the haul line against the topo where a bag is hauled', async () => {
    await said('/trip edit bag:yes');
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      '? Ropes: lead line 70 m, longest lead 45 m; a bag is hauled, and no haul line is told (/trip edit ropes:).',
    );
    await said('/trip edit ropes:"haul 40"');
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      'NO Ropes: pitch 4 is 45 m, the haul line 40 m.',
    );
    await said('/trip edit ropes:"lead 40 haul none"');
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      'NO Ropes: the lead from pitch 4 is 45 m, the lead line 40 m; a bag is hauled without a haul line.',
    );
    await said('/trip edit ropes:"lead 70 haul 60"');
    expect(lineOf(await said('/plan check:true'), 'Ropes:')).toBe(
      'ok Ropes: lead line 70 m, longest lead 45 m; haul line 60 m.',
    );
  });

  it('says of a contact who was asked that they haven’t answered, not that there is nobody', async () => {
    await said('/roster remove who:Dana');
    expect(lineOf(await said('/plan check:true'), 'Home:')).toBe(
      'NO Home: nobody at home can be reached.',
    );
    await said('/roster add name:Edda role:contact email:edda@example.org');
    expect(lineOf(await said('/plan check:true'), 'Home:')).toBe(
      'NO Home: Edda hasn’t said yes yet; call them.',
    );
  });

  it('holds beds against the plan', async () => {
    await said('/bivy plan pitch:5');
    expect(await said('/plan check:true')).toContain('ok Bed after 5: a ledge for 3.');
    await said('/bivy plan pitch:4');
    await said('/trip edit portaledge_places:2');
    expect(await said('/plan check:true')).toContain(
      'NO Bed after 4: portaledges carried sleep 2, you are 3.',
    );
  });

  it('says one stance as one', async () => {
    w.file('one.csv', 'pitch,length_m,rappel\n1,30,yes\n2,30,\n3,30,yes\n');
    await said('/topo load file:one.csv');
    expect(await said('/plan check:true')).toContain('1 stance is not known as a station.');
  });

  it('holds the first shuttle against the start', async () => {
    await said('/shuttle add name:boat times:"first 7:20, last 21:20, every hour"');
    await said('/trip edit approach_min:60 start:06:00 first_day:tomorrow');
    expect(lineOf(await said('/plan check:true'), 'First boat')).toBe(
      '? First boat: 07:20, after the first move at 06:00. If they come by it they climb from 08:20: /plan day:1 start:shuttle',
    );
    await said('/plan day:1 start:shuttle');
    expect(lineOf(await said('/plan check:true'), 'First boat')).toBe(
      'ok First boat: 07:20, first move 08:20.',
    );
    // Who leaves before it goes in on foot.
    await said('/trip edit start:06:00');
    expect(await said('/trip depart')).not.toContain('First boat');
  });

  it('holds lamps against the dark, water against the days, weather against the hold', async () => {
    const before = await said('/plan check:true');
    expect(lineOf(before, 'Light:')).toMatch(/^\? Light: headlamps not ticked/u);
    expect(lineOf(before, 'Water:')).toBe('? Water: 10.5 l needed, not ticked (/kit).');
    expect(lineOf(before, 'Weather:')).toBe('? Weather: none told (/weather set).');
    await said('/kit item:headlamps packed:true');
    await said('/kit item:"headlamp batteries, spare sets" packed:true');
    await said('/kit item:water amount:"9 l" packed:true');
    await said('/weather set text:"rain 90% 08:00-20:00"');
    const after = await said('/plan check:true');
    // In June it doesn't get dark there past civil twilight, further south it does.
    expect(lineOf(after, 'Light:')).toContain('ok Light: headlamps and spare batteries; no dark');
    await said('/trip edit lat:45 lon:6.9');
    expect(lineOf(await said('/plan check:true'), 'Light:')).toMatch(/batteries; dark \d h/u);
    expect(lineOf(after, 'Water:')).toBe('NO Water: short by 1.5 of 10.5 l.');
    expect(lineOf(after, 'Weather:')).toMatch(/^NO Weather: on top before any rain: /u);
    await said('/rain start');
    expect(lineOf(await said('/plan check:true'), 'Weather:')).toBe('NO Weather: it rains.');
  });

  it('asks for a rehearsed contact and a call-out time, what is open first', async () => {
    const open = await said('/plan check:true');
    expect(open).toMatch(/^\d of \d checks are open\./u);
    expect(lineOf(open, 'Home:')).toContain('NO Home: not rehearsed with Dana');
    const marks = open.split('\n').flatMap((line) => /^(NO|\?|ok) /u.exec(line)?.[1] ?? []);
    expect(marks).toEqual([...marks].sort((a, b) => 'NO?ok'.indexOf(a) - 'NO?ok'.indexOf(b)));
    expect((await w.say('mara', '/plan')).buttons?.map((b) => b.label)).toContain(
      'Checks before you go',
    );
    await said('/trip depart');
    expect((await w.say('mara', '/plan check:true')).code).toBe('already-so');
  });
});
