import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { openDemo, TOPO, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await w.say('mara', '/trip open name:"Harrow Tower" zone:Europe/Oslo');
});
afterEach(() => w.close());

const load = (csv: string) => {
  w.file('topo.csv', csv);
  return w.say('mara', '/topo load file:topo.csv');
};
const pitches = async () => (await w.trip()).state.pitches;

test('a rappel that nobody knows is not known, never none', async () => {
  const rows = ['1,38,5c,yes', '2,30,5c,no', '3,30,5c,', '4,30,5c,unknown'];
  await load(['pitch,length_m,free,rappel', ...rows].join('\n'));
  expect((await pitches()).map((p) => p.rappel)).toEqual([true, false, undefined, undefined]);
  const { table } = await w.say('mara', '/topo show');
  expect(table?.rows.map((row) => row[3]?.includes('no rap'))).toEqual([false, true, false, false]);
  expect(text(await w.say('mara', '/topo edit number:3 stance:ledge'))).toContain(
    'rappel not known',
  );
});

test('ten mistakes get one answer that lists all ten by row and column, and nothing changes', async () => {
  await load(TOPO);
  const before = (await w.trip()).state;
  const reply = await load(
    [
      'pitch,length_m,free,aid,stance,bivy,places,rappel,minutes,note',
      '1,-5,5c,,ledge,none,,yes,,',
      '2,42,9z,,hanging,none,,yes,,',
      '3,30,6b,A9,hanging,none,,yes,,',
      '4,45,,A2,lege,portaledge,,yes,,',
      '5,35,6a,,ledge,tent,4,yes,,',
      '6,38,6b,,hanging,none,many,no,,',
      '7,25,5b,,hanging,none,,maybe,,',
      '9,40,6c,,ledge,none,,yes,,',
      'ten,30,6a,,ledge,none,,yes,,',
      '11,,6a,,ledge,none,,yes,,',
    ].join('\n'),
  );
  expect(text(reply).split('\n')).toEqual([
    '10 mistakes in that file; nothing was changed.',
    'Row 2, length_m: "-5" isn\'t a length like 38 or 125 ft',
    'Row 3, free: "9z" isn\'t a free grade known here (5.10a, 6b+, VII-)',
    'Row 4, aid: "A9" isn\'t an aid grade (A0–A5, C0–C5)',
    'Row 5, stance: "lege" isn\'t ledge, semi or hanging',
    'Row 6, bivy: "tent" isn\'t none, portaledge, or ledge with its places (ledge 3)',
    'Row 7, places: "many" isn\'t a number of people, 1 to 20',
    'Row 8, rappel: "maybe" isn\'t yes, no, unknown, traverse or roof',
    'Row 9, pitch: 9, but 8 comes next',
    'Row 10, pitch: "ten" isn\'t a whole number from 1',
    'Row 11, length_m: is empty',
    'Mend them and load it again.',
  ]);
  expect(reply.refused).toBe(true);
  expect((await w.trip()).state).toEqual(before);
});

test('more mistakes than fit are counted', async () => {
  const rows = Array.from({ length: 30 }, (_, i) => `${i + 1},long`);
  const lines = text(await load(`pitch,length_m\n${rows.join('\n')}`)).split('\n');
  expect(lines[0]).toBe('30 mistakes in that file; nothing was changed.');
  expect(lines).toContain('and 10 more.');
  expect(lines).toHaveLength(23);
});

// RFC 4180 for CSV; the semicolon with a decimal comma is what spreadsheets of many countries save.
describe.each([
  ['commas and points', 'pitch,length_m,free\n1,38.5,6b+\n2,40,VII-\n'],
  ['semicolons and decimal commas', 'pitch;length_m;free\n1;38,5;6b+\n2;40,0;VII-\n'],
  ['tabs', 'pitch\tlength_m\tfree\n1\t38,5\t6b+\n2\t40\tVII-\n'],
  ['a byte order mark', '\ufeffpitch,length_m,free\n1,38.5,6b+\n2,40,VII-\n'],
  [
    'CR LF, blank lines and another case',
    'Pitch,LENGTH_M,Free\r\n\r\n1,38.5,6B+\r\n,,\r\n2,40,vii-\r\n',
  ],
  ['quotes', '"pitch","length_m","free"\n"1","38.5","6b+"\n"2","40","VII-"\n'],
  ['a column too many at the end', 'pitch,length_m,free,\n1,38.5,6b+,\n2,40,VII-,\n'],
  ['another order', 'free,length_m,pitch\n6b+,38.5,1\nVII-,40,2\n'],
  ['units in the cells', 'pitch,length,free\n1,38.5 m,6b+\n2,40m,VII-\n'],
])('a file with %s', (_, csv) => {
  test('reads as the same topo', async () => {
    const reply = await load(csv);
    expect(text(reply)).toContain('Topo loaded: 2 pitches, 79 m.');
    expect((await pitches()).map((p) => [p.number, p.lengthM, p.free?.text])).toEqual([
      [1, 38.5, '6b+'],
      [2, 40, 'VII-'],
    ]);
  });
});

test('feet are read as the international foot, exactly, and shown in the units of the trip', async () => {
  // NIST Special Publication 811, appendix B.8: 1 ft = 0.3048 m exactly.
  await load('pitch,length_ft,free\n1,100,5.10a\n2,125,5.9\n');
  expect((await pitches()).map((p) => p.lengthM)).toEqual([30.48, 125 * 0.3048]);
  expect(text(await w.say('mara', '/topo show'))).toContain('2 pitches, 69 m.');
  await w.say('mara', '/trip edit units:ft');
  expect(text(await w.say('mara', '/topo show'))).toContain('2 pitches, 225 ft.');
  await load('pitch,length\n1,100\n');
  expect((await pitches()).map((p) => p.lengthM)).toEqual([30.48]);
});

test('grades of every system come through as written: YDS, UIAA, French, A and C', async () => {
  const csv =
    'pitch,length_m,free,aid\n1,30,5.10c,\n2,30,VII+/VIII-,\n3,30,6a+,C1\n4,30,,a2+\n5,30,5.11,A0\n';
  await load(csv);
  expect((await pitches()).map((p) => [p.free?.system, p.free?.text, p.aid?.text])).toEqual([
    ['YDS', '5.10c', undefined],
    ['UIAA', 'VII+/VIII-', undefined],
    ['French', '6a+', 'C1'],
    [undefined, undefined, 'A2+'],
    ['YDS', '5.11', 'A0'],
  ]);
});

test.each([
  ['no header', '1,38\n2,40\n', 'The first row must name the columns'],
  ['an unknown column', 'pitch,length_m,colour\n1,38,red\n', 'Not known: colour.'],
  ['a column named twice', 'pitch,length_m,free,free\n1,38,6a,6b\n', 'Named twice: free.'],
  ['no length', 'pitch,free\n1,6a\n', 'Missing: length_m or length_ft.'],
  ['a header only', 'pitch,length_m\n', 'The file has a header and no pitches.'],
  ['nothing at all', '', 'The first row must name the columns'],
  ['a quote that never closes', 'pitch,length_m,note\n1,38,"oops\n2,40,\n', "can't be read as CSV"],
  ['an unquoted comma in a note', 'pitch,length_m,note\n1,38,left, then up\n', 'Row 2: more cells'],
])('a file with %s is refused, with what to do', async (_, csv, says) => {
  const reply = await load(csv);
  expect(reply.refused).toBe(true);
  expect(text(reply)).toContain(says);
  expect(reply.lines.length).toBeGreaterThan(1);
  expect(await pitches()).toEqual([]);
});

test('a file that is not UTF-8, or too large, is refused', async () => {
  writeFileSync(join(w.folder, 'topo.csv'), Buffer.from([0x70, 0xe5, 0x6c, 0xff]));
  expect(text(await w.say('mara', '/topo load file:topo.csv'))).toContain("isn't UTF-8");
  writeFileSync(join(w.folder, 'topo.csv'), Buffer.alloc(300 * 1024, 0x20));
  expect(text(await w.say('mara', '/topo load file:topo.csv'))).toContain('too large');
});

test('a row with fewer cells leaves the rest out', async () => {
  await load('pitch,length_m,free,stance\n1,38\n2,40,6a,ledge\n');
  expect((await pitches()).map((p) => [p.free?.text, p.stance])).toEqual([
    [undefined, 'hanging'],
    ['6a', 'ledge'],
  ]);
});

describe('typed pitch by pitch', () => {
  test('adds the next, changes what is named, keeps the rest, and Undo puts it back', async () => {
    const added = await w.say(
      'mara',
      '/topo edit number:1 length:"125 ft" free:5.10a bivy:"ledge 3"',
    );
    expect(text(added)).toBe(
      'Pitch 1 added: 38 m, 5.10a, hanging stance, ledge bivy for 3, rappel not known.',
    );
    await w.say('mara', '/topo edit number:1 rappel:yes note:"thin seam" stance:ledge');
    expect((await pitches())[0]).toMatchObject({
      lengthM: 125 * 0.3048,
      stance: 'ledge',
      places: 3,
      rappel: true,
      note: 'thin seam',
    });
    await w.say('mara', '[Undo]');
    expect((await pitches())[0]).toMatchObject({ stance: 'hanging' });
    expect((await pitches())[0]?.rappel).toBeUndefined();
    await w.say('mara', '/topo edit number:1 free:none bivy:none');
    const [first] = await pitches();
    expect(first?.free).toBeUndefined();
    expect(first?.places).toBeUndefined();
  });

  test.each([
    ['/topo edit number:3 length:30', 'The topo has 0 pitches, so 1 comes next.'],
    ['/topo edit number:1 free:6a', 'length: pitch 1 is new and needs one, like length:38'],
    ['/topo edit number:1 length:none', 'length: "none" isn\'t a length like 38 or 125 ft'],
    ['/topo edit number:1 length:400', 'is longer than any pitch here (150 m)'],
    ['/topo edit number:1 length:30 aid:B2', 'aid: "B2" isn\'t an aid grade'],
    ['/topo remove number:1', 'There is no topo; nothing to take off.'],
  ])('%s is refused with the reason', async (line, says) => {
    const reply = await w.say('mara', line);
    expect(text(reply)).toContain(says);
    expect(reply.refused).toBe(true);
  });

  test('only the last pitch comes off, and its link with it', async () => {
    await load('pitch,length_m\n1,20\n2,20\n3,20\n');
    await w.say('mara', '/lead link pitch:2');
    expect(text(await w.say('mara', '/topo remove number:2'))).toContain('Only the last pitch (3)');
    expect(text(await w.say('mara', '/topo remove number:3'))).toContain('2 are left');
    expect((await w.trip()).state.links.size).toBe(0);
  });
});

describe('loaded again mid-route', () => {
  beforeEach(async () => {
    await w.close();
    w = await world();
    await openDemo(w);
    await w.say('mara', '/trip depart');
    w.at('2031-06-12 09:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:00');
  });

  test('what was told stays told', async () => {
    await load(TOPO.replace('2,42', '2,48'));
    const [, second] = await pitches();
    expect(second?.lengthM).toBe(48);
    expect(second?.done).toBeDefined();
  });

  test('a topo too short for what was told is refused, and says which post stands in the way', async () => {
    const reply = await load('pitch,length_m\n1,38\n');
    expect(text(reply)).toContain('That topo has 1 pitches, but pitch 2 was told already');
    expect(text(reply)).toMatch(/\/pitch strike entry:\d+/);
    expect(await pitches()).toHaveLength(8);
  });

  test('a link or an assignment that no longer fits names its way out', async () => {
    await w.say('mara', '/lead link pitch:6');
    expect(text(await load(TOPO.replace('6,38', '6,60')))).toContain('/lead unlink pitch:6');
    await w.say('mara', '/lead unlink pitch:6');
    await w.say('mara', '/lead assign pitch:8 leader:Ines');
    await w.say('mara', '[Assign it]');
    const short = TOPO.split('\n').slice(0, 8).join('\n');
    const reply = await load(short);
    expect(text(reply)).toContain('/lead assign pitch:8 leader:none');
  });
});
