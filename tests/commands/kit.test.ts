import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await w.say('mara', '/trip edit ropes:"lead 70 haul 60" bag:yes');
  await w.say('mara', '/bivy plan pitch:5');
});
afterEach(() => w.close());

const said = async (line: string, who = 'mara') => {
  const reply = await w.say(who, line);
  expect(reply.refused, text(reply)).toBeUndefined();
  return text(reply);
};

describe('/kit', () => {
  it('gives litres, kilograms and the bag from party, days, nights and heat', async () => {
    const reply = await w.say('mara', '/kit');
    expect(text(reply)).toContain(
      '3 climbers, 2 days, 1 night, mild: 21 l of water, 5.4 kg of food, bag about',
    );
    expect(text(reply)).toContain('Water: 21 l needed, nothing told as packed.');
    expect(reply.table?.rows).toContainEqual(['Rack', '0', '16']);
    expect(await said('/kit heat:hot')).toContain('hot: 24 l of water');
    const file = new TextDecoder().decode((await w.say('mara', '/kit')).files?.[0]?.bytes);
    expect(file).toContain('[ ] Spoons: 3');
    expect(file).toContain('alpinesavvy.com');
    expect(file).toContain('Haul line 60 m');
  });

  it('gives weights and ropes in feet and pounds where the trip does', async () => {
    await said('/trip edit units:ft');
    const reply = await w.say('mara', '/kit');
    // 5.4 kg at 0.45359237 kg a pound (NIST SP 811).
    expect(text(reply)).toContain(': 21 l of water, 12 lb of food, bag about ');
    expect(text(reply)).not.toContain('kg');
    const file = new TextDecoder().decode((await w.say('mara', '/kit')).files?.[0]?.bytes);
    expect(file).toContain('[ ] Food: 12 lb');
    // 70 and 60 m at 0.3048 m a foot.
    expect(file).toContain('Lead line 230 ft');
    expect(file).toContain('Haul line 197 ft');
    expect(await said('/kit item:Food amount:"10 lb"')).toContain('Food: 10 lb');
  });

  it('asks back about a name near one of the list, and notes nothing before', async () => {
    const asked = await w.say('mara', '/kit item:watr amount:"18 l"');
    expect(asked.code).toBe('no-such-choice');
    expect(text(asked)).toContain('“watr” isn’t on the list. Is it Water? Nothing is noted yet.');
    expect(asked.buttons?.map((b) => b.label)).toEqual([
      'I mean Water',
      'Add “watr” to Water and food',
    ]);
    expect((await w.trip()).state.kit.size).toBe(0);
    expect(text(await w.say('mara', '[I mean Water]'))).toContain('Water: 18 l');
    expect((await w.trip()).state.kit.size).toBe(1);
    await w.say('mara', '/kit item:stov');
    const own = text(await w.say('mara', '[Add “stov” to Cooking]'));
    expect(own).toContain('Added to Cooking, a thing of your own: stov.');
    expect(own).toContain('/kit item:stov amount:none');
    // Known by now: nothing is asked, nothing is said to be added.
    expect(await said('/kit item:stov amount:2')).toMatch(/^Cooking: /u);
  });

  it('knows a thing of the list without its commas, and says what is new', async () => {
    expect(await said('/kit item:"cams sets" amount:4')).toContain('Cams, sets: 4');
    expect(await said('/kit item:"Thermos"')).toMatch(
      /^Added to Rack, a thing of your own: Thermos\./u,
    );
    expect(await said('/kit item:thermos amount:none')).not.toContain('Thermos');
  });

  it('is ticked by a press, says who brings and carries what, and can be undone', async () => {
    const rack = await w.say('jonas', '/kit group:rack');
    expect(text(rack)).toContain('Rack: 0 of 16 packed.');
    const ticked = await w.say('jonas', '[Packed: Nuts, sets]');
    expect(text(ticked)).toContain('[x] Nuts, sets: 2');
    expect(await said('/kit item:"nuts, sets" brings:Jonas carries:ines')).toContain(
      '[x] Nuts, sets: 2 (Jonas brings, Ines carries)',
    );
    await w.say('mara', '[Undo]');
    expect(await said('/kit group:rack')).toContain('[x] Nuts, sets: 2\n');
    expect((await w.say('mara', '/kit item:radios brings:Nemo')).code).toBe('no-such-person');
    expect((await w.say('stray', '/kit item:radios')).code).toBe('not-on-roster');
  });

  it('says when a day more is short of water, and takes amounts of their own', async () => {
    expect(await said('/kit item:water amount:"28 l" packed:true')).toContain('Water: 28 l');
    expect(await said('/kit')).toContain('Water: 28 of 21 l packed. One more day: short by 3.5 l.');
    await said('/kit item:water amount:"8 gal"');
    expect(await said('/kit')).toContain('Water: 30.5 of 21 l');
    expect((await w.say('mara', '/kit item:water amount:lots')).code).toBe('unreadable-value');
    expect((await w.say('mara', '/kit amount:3')).code).toBe('needs-value');
  });

  it('takes a thing of their own, and takes one off', async () => {
    expect(await said('/kit item:"Guitar" group:shelter')).toContain('[ ] Guitar');
    expect(await said('/kit item:"Ear plugs" amount:none')).not.toContain('Ear plugs');
    expect(await said('/kit group:shelter')).not.toContain('Ear plugs');
    expect(await said('/kit item:"Ear plugs" amount:usual')).toContain('Ear plugs: 3');
  });

  it('puts the weight of the bag into the forecast by a press', async () => {
    const reply = await w.say('mara', '/kit');
    const label = reply.buttons?.find((b) => b.label.startsWith('Haul '))?.label ?? '';
    await said(`[${label}]`);
    const { state } = await w.trip();
    expect(state.settings.bagKg).toBeGreaterThan(25);
    const again = await w.say('mara', '/kit');
    expect(again.buttons?.some((b) => b.label.startsWith('Haul '))).toBe(false);
  });

  it('copies the last trip of the channel, with who brings what where they are here again', async () => {
    expect((await w.say('mara', '/kit copy:true')).code).toBe('nothing-left');
    await said('/kit item:Guitar group:shelter brings:Ines');
    await said('/kit item:radios brings:Greta packed:true');
    await said('/kit item:water amount:"30 l" packed:true');
    await said('/trip close');
    w.at('2031-07-01 09:00');
    await openDemo(w);
    await said('/kit copy:true');
    expect(await said('/kit group:shelter')).toContain('[ ] Guitar (Ines brings)');
    expect(await said('/kit group:light')).toContain('[ ] Radios: 2 (Greta brings)');
    expect(await said('/kit')).toContain('nothing told as packed');
  });

  it('/decide says the water that is left, and what isn’t known', async () => {
    await said('/trip depart');
    w.at('2031-06-12 08:00');
    await said('/pitch done number:1', 'greta');
    expect(await said('/decide')).toContain('Water: not known');
    await said('/kit item:water amount:"21 l"');
    w.at('2031-06-12 20:00');
    expect(await said('/decide')).toContain('Water: about 16 l left of 21');
    expect(await said('/kit')).toContain('Water: about 16 l left of 21');
  });

  it('what keeps them alive and seen stands on the sheet, as far as it was told', async () => {
    await said('/trip depart');
    expect(await said('/overdue sheet')).not.toMatch(/Water left|Packed/u);
    await said('/kit item:water amount:"21 l"');
    for (const item of ['sleeping bags', 'first aid', 'radios', 'nuts, sets', 'spoons'])
      await said(`/kit item:"${item}" packed:true`);
    w.at('2031-06-12 18:10');
    const sheet = await said('/overdue sheet');
    // 21 l less 12 h of 10.5 l a day are 15.75 l; they last 36 h more.
    expect(sheet).toContain('\nWater left, by the usual thirst: about 16 l, until Sat 06:10\n');
    expect(sheet).toContain('\nPacked, as told: Sleeping bags 3, Radios 2, First aid 1\n');
    // As /kit says it.
    w.at('2031-06-12 18:15');
    expect(await said('/overdue sheet')).toContain('about 16 l, until Sat 06:10\n');
    expect(await said('/kit')).toContain('until Sat 06:10 at');
    w.at('2031-06-15 18:10');
    expect(await said('/overdue sheet')).toContain('by the usual thirst: none');
  });
});
