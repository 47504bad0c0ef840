import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { dayClock } from '../../src/time/format.ts';
import { openDemo, text, type World, world, ZONE } from '../helpers/world.ts';
import { labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const first = (reply: Parameters<typeof text>[0]) => text(reply).split('\n')[0];
async function doneAt(number: number): Promise<string | undefined> {
  const ms = (await w.trip()).state.pitches[number - 1]?.done?.atMs;
  return ms === undefined ? undefined : dayClock(ZONE, ms, Date.UTC(2031, 5, 12, 10));
}

describe('what was understood, in one short line', () => {
  test.each([
    ['14:22', 'at 14:22 (told 14:32 by Greta)'],
    ['2:22pm', 'at 14:22 (told 14:32 by Greta)'],
    ['-10m', 'at 14:22 (told 14:32 by Greta)'],
    ['"10m ago"', 'at 14:22 (told 14:32 by Greta)'],
    ['2031-06-12T14:22+02:00', 'at 14:22 (told 14:32 by Greta)'],
    ['2031-06-12T12:22Z', 'at 14:22 (told 14:32 by Greta)'],
    ['"yesterday 22:40"', 'at Wed 22:40 (told Thu 14:32 by Greta)'],
    ['now', 'at 14:32.'],
  ])('at:%s', async (typed, says) => {
    w.at('2031-06-12 14:32');
    const reply = await w.say('greta', `/pitch done number:1 at:${typed}`);
    expect(first(reply)).toContain(`Pitch 1 done ${says}`);
    expect(first(reply)?.length).toBeLessThanOrEqual(80);
    expect(labels(reply)).toEqual(['Undo', 'Change the time']);
  });

  test('started, fixed and done, with how long it took; breaks left out', async () => {
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch start at:06:20');
    expect(first(await w.say('greta', '/pitch fixed at:06:50'))).toContain(
      'Pitch 1 fixed at 06:50',
    );
    await w.say('greta', '/pitch break minutes:15 at:07:10');
    expect(first(await w.say('greta', '/pitch done at:07:20'))).toContain(': 45 min.');
    expect(first(await w.say('greta', '/pitch done at:08:00'))).toContain(
      'Pitch 2 done at 08:00: 40 min.',
    );
  });

  test('a link is started at its lower end, told done with both, and timed as one lead', async () => {
    await w.say('mara', '/lead link pitch:6');
    w.at('2031-06-12 12:00');
    for (const [n, at] of [
      [1, '07:00'],
      [2, '08:00'],
      [3, '09:00'],
      [4, '10:00'],
      [5, '10:30'],
    ]) {
      await w.say('greta', `/pitch done number:${n} at:${at}`);
    }
    expect(first(await w.say('greta', '/pitch start at:10:40'))).toContain(
      'Pitch 6 started at 10:40',
    );
    expect(first(await w.say('greta', '/pitch done at:11:55'))).toContain(
      'Pitches 6 and 7 done at 11:55 (told 12:00 by Greta): 1 h 15.',
    );
    expect((await w.trip()).state.pitches[6]?.done?.leader).toBe('ines');
  });

  test('who really led is said when it is not as planned', async () => {
    await w.say('greta', '/pitch done number:1 leader:ines');
    expect((await w.trip()).state.pitches[0]?.done?.leader).toBe('ines');
    expect(text(await w.say('greta', '/pitch done number:2 leader:greta'))).toContain(
      "greta isn't among them.",
    );
  });
});

describe('late, out of order, twice', () => {
  beforeEach(() => w.at('2031-06-12 12:00'));

  test('a start told after the completion lands before it', async () => {
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:10');
    await w.say('greta', '/pitch start number:2 at:07:15');
    const { started, done } = (await w.trip()).state.pitches[1]!;
    expect((done!.atMs - started!.atMs) / 60_000).toBe(55);
  });

  test('pitches left out are told with one press, or the number was meant otherwise', async () => {
    const reply = await w.say('greta', '/pitch done number:4 at:11:00');
    expect(text(reply)).toBe("Pitches 1–3 aren't done yet, so 4 can't be.");
    expect(labels(reply)).toEqual([
      '1–3 as well, same time',
      '1–3 as well, times not known',
      'I meant 1',
    ]);
    expect(first(await w.say('greta', '[1–3 as well, same time]'))).toContain(
      'Pitches 1–4 done at 11:00',
    );
    await w.say('greta', '[Undo]');
    expect(await doneAt(1)).toBeUndefined();
    await w.say('greta', '/pitch done number:4 at:11:00');
    await w.say('greta', '[I meant 1]');
    expect(await doneAt(1)).toBe('11:00');
    expect(await doneAt(2)).toBeUndefined();
  });

  test.each([
    ['start', 'Pitches 1 and 2 done and pitch 3 started at 11:00', 'started'],
    ['fixed', 'Pitches 1 and 2 done and pitch 3 fixed at 11:00', 'fixed'],
  ] as const)(
    '/pitch %s above pitches not done: the press makes it possible',
    async (sub, says, mark) => {
      const reply = await w.say('greta', `/pitch ${sub} number:3 at:11:00`);
      expect(labels(reply)).toEqual([
        '1 and 2 done by then',
        '1 and 2 as well, times not known',
        'I meant 1',
      ]);
      expect(first(await w.say('greta', '[1 and 2 done by then]'))).toContain(says);
      const { pitches } = (await w.trip()).state;
      expect(pitches[1]?.done).toBeDefined();
      expect(pitches[2]?.[mark]).toBeDefined();
    },
  );

  test('told twice: the same is nothing new, another time can take its place', async () => {
    await w.say('greta', '/pitch done number:1 at:07:00');
    const same = await w.say('mara', '/pitch done number:1 at:07:00');
    expect(text(same)).toBe(
      'Pitch 1 is done already, at 07:00 (told 12:00 by Greta).\nNothing to change.',
    );
    for (const other of ['06:50', '07:10']) {
      const twice = await w.say('mara', `/pitch done number:1 at:${other}`);
      expect(text(twice)).toContain('Pitch 1 is done already, at 07:00 (told 12:00 by Greta).');
      expect(labels(twice)).toEqual([`Use ${other} instead`]);
    }
    await w.say('mara', '[Use 07:10 instead]');
    expect(await doneAt(1)).toBe('07:10');
    const again = await w.say('greta', '/pitch done number:1 at:07:10');
    expect(text(again)).toContain('Nothing to change.');
  });

  test.each([
    [
      '/pitch done number:2 at:06:30',
      "Pitch 1 was done at 07:00, so pitch 2 can't be done at 06:30.",
    ],
    ['/pitch done number:12', 'There is no pitch 12; the topo has 8.'],
    ['/pitch done number:2 at:13:00', '13:00 is still 1 h ahead.'],
    ['/pitch done number:2 at:quarter-past', 'Can\'t read "quarter-past" as a time.'],
    ['/pitch done number:2 at:30m', '"30m" is a length of time.'],
  ])('%s is refused, with a way out', async (line, says) => {
    await w.say('greta', '/pitch done number:1 at:07:00');
    const before = (await w.trip()).state;
    const reply = await w.say('greta', line);
    expect(reply.refused).toBe(true);
    expect(text(reply)).toContain(says);
    expect(text(reply).length + labels(reply).join('').length).toBeGreaterThan(says.length);
    expect((await w.trip()).state).toEqual(before);
  });
});

describe('a crew that starts in the middle', () => {
  beforeEach(async () => {
    w.at('2031-06-12 12:00');
    await w.say('mara', '/trip depart at:06:00');
    await w.say('greta', '/pitch done number:6 at:11:00');
  });
  const press = () => w.say('greta', '[1–5 as well, times not known]');

  test('invents no times, and says so', async () => {
    expect(first(await press())).toContain(
      'Pitches 1–5 done, times not known, and pitch 6 done at 11:00 (told 12:00 by Greta).',
    );
    const { pitches } = (await w.trip()).state;
    expect(pitches.map((p) => p.done?.timeUnknown)).toEqual([
      ...Array(5).fill(true),
      ...Array(3).fill(undefined),
    ]);
    expect(text(await w.say('greta', '/log show'))).toContain(
      'pitch 5 done by 11:00, time not known',
    );
    const { table } = await w.say('greta', '/topo show');
    expect(table?.rows.map((row) => row.at(-1))).toEqual([
      ...Array(5).fill('yes'),
      '11:00',
      '',
      '',
    ]);
  });

  test('a time that turns up takes its place, before the bound', async () => {
    await press();
    const twice = await w.say('mara', '/pitch done number:3 at:08:30');
    expect(text(twice)).toContain('Pitch 3 is done already, time not known, by 11:00');
    expect((await w.say('mara', '[Use 08:30 instead]')).refused).toBeUndefined();
    const { done } = (await w.trip()).state.pitches[2]!;
    expect([await doneAt(3), done?.timeUnknown]).toEqual(['08:30', undefined]);
    const late = await w.say('mara', '/pitch done number:5 at:11:30');
    expect(labels(late)).toEqual(['Use 11:30 instead']);
    expect(text(await w.say('mara', '[Use 11:30 instead]'))).toContain(
      "Pitch 5 was done at 11:30, so pitch 6 can't be done at 11:00.",
    );
  });

  test('no pace is learnt from them, nor from the pitch above', async () => {
    await press();
    const pace = async () => text(await w.say('mara', '/topout details:yes'));
    expect(await pace()).toContain('Pace: nothing climbed yet. Believed');
    await w.say('greta', '/pitch start number:6 at:10:05');
    expect(await pace()).toMatch(/party .* from 1 told\./);
  });
});

describe('possible but unlikely: asked back, and nothing recorded before the press', () => {
  beforeEach(async () => {
    w.at('2031-06-12 12:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
  });
  const recorded = async () => (await w.trip()).history.length;

  test('42 m in four minutes', async () => {
    const before = await recorded();
    const asked = await w.say('greta', '/pitch done at:07:04');
    expect(asked.refused).toBe(true);
    expect(text(asked)).toBe(
      'Pitch 2 in 4 min, 42 m? Pitch 1 was done at 07:00 (told 12:00 by Greta).\n' +
        'Nothing is recorded yet.',
    );
    expect(labels(asked)).toEqual(['Yes, 4 min', 'I meant 1, at 07:04', 'Another time']);
    expect(await recorded()).toBe(before);
    expect(first(await w.say('greta', '[Yes, 4 min]'))).toContain('Pitch 2 done at 07:04');
  });

  test('the pitch below was meant, or another time', async () => {
    await w.say('greta', '/pitch done at:07:04');
    await w.say('greta', '[I meant 1, at 07:04]');
    expect([await doneAt(1), await doneAt(2)]).toEqual(['07:04', undefined]);
    await w.say('greta', '/pitch done at:07:06');
    await w.say('greta', '[Another time] at:07:56');
    expect([await doneAt(1), await doneAt(2)]).toEqual(['07:04', '07:56']);
  });

  test('pressed twice by mistake', async () => {
    await w.say('greta', '/pitch done at:12:00');
    w.at('2031-06-12 12:01');
    expect(text(await w.say('greta', '/pitch done at:12:00'))).toContain('Pitch 3 in 0 min, 30 m?');
    expect(await doneAt(3)).toBeUndefined();
  });

  test('a lead of 38 m fixed in two minutes, and a start told late', async () => {
    await w.say('greta', '/pitch start at:07:10');
    const asked = await w.say('greta', '/pitch fixed at:07:12');
    expect(text(asked)).toContain('Pitch 2 led in 2 min, 42 m? Pitch 2 was started at 07:10');
    expect(labels(asked)).toEqual(['Yes, 2 min', 'Another time']);
    await w.say('greta', '/pitch done at:08:00');
    await w.say('greta', '/pitch done at:09:00');
    expect(text(await w.say('greta', '/pitch start number:3 at:08:57'))).toContain(
      'Pitch 3 in 3 min, 30 m?',
    );
  });

  test('a second post of the same pitch by another, without its number', async () => {
    await w.say('greta', '/pitch done at:08:00');
    const before = await recorded();
    const asked = await w.say('jonas', '/pitch done at:08:12');
    expect(text(asked)).toBe(
      'Is this pitch 3? Pitch 2 was done at 08:00 (told 12:00 by Greta).\n' +
        'If it is the same pitch, there is nothing to do. Nothing is recorded yet.',
    );
    expect(labels(asked)).toEqual(['Yes, pitch 3', 'I meant 2, at 08:12']);
    expect(await recorded()).toBe(before);
    await w.say('jonas', '[I meant 2, at 08:12]');
    expect([await doneAt(2), await doneAt(3)]).toEqual(['08:12', undefined]);
  });

  test('a batch told in one go, and quick times that can be true, are not asked about', async () => {
    await w.say('greta', '/pitch done number:4 at:11:00');
    expect((await w.say('greta', '[2 and 3 as well, same time]')).refused).toBeUndefined();
    expect((await w.say('greta', '/pitch done number:5 at:11:10')).refused).toBeUndefined();
  });
});

describe('mended', () => {
  test('by somebody else, an hour later, by its pitch; the record keeps both', async () => {
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done number:1 at:07:40');
    w.at('2031-06-12 09:00');
    const reply = await w.say('pål', '/pitch amend number:1 at:07:20');
    expect(reply.refused).toBe(true);
    await w.say('mara', '/roster add name:Pål role:ground');
    const mended = await w.say('pål', '/pitch amend number:1 at:07:20');
    expect(first(mended)).toBe('Amended: pitch 1 done at 07:20, Mara led (entry 8).');
    expect(await doneAt(1)).toBe('07:20');
    const log = text(await w.say('mara', '/log show'));
    expect(log).toContain(
      '8. pitch 1 done at 07:40, Mara led (told 08:00 by Greta) [amended by 10]',
    );
    expect(log).toContain('10. entry 8 amended to 07:20 (told 09:00 by Pål)');
    await w.say('jonas', '[Undo]');
    expect(await doneAt(1)).toBe('07:40');
  });

  test('a post on the wrong pitch is moved, and then found under its new number', async () => {
    w.at('2031-06-12 09:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:00');
    await w.say('greta', '/pitch strike number:1');
    await w.say('greta', '[Strike those above as well]');
    await w.say('greta', '/pitch start number:2 at:07:00');
    await w.say('greta', '[1 done by then]');
    await w.say('greta', '/pitch amend entry:13 to:3');
    expect((await w.trip()).state.pitches[1]?.done).toBeUndefined();
  });

  test('yesterday’s post is mended to a time of yesterday', async () => {
    w.at('2031-06-12 22:40');
    await w.say('greta', '/pitch done number:1 at:22:30');
    w.at('2031-06-13 22:50');
    const reply = await w.say('greta', '[Change the time] at:22:10');
    expect(first(reply)).toContain('pitch 1 done at Thu 22:10');
  });

  test('a mended time that contradicts another post names that other post', async () => {
    w.at('2031-06-12 12:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('greta', '/pitch done number:2 at:08:00');
    expect(text(await w.say('greta', '/pitch amend number:1 at:09:00'))).toBe(
      "Pitch 1 was done at 09:00, so pitch 2 can't be done at 08:00.\n" +
        'If 08:00 is wrong: /pitch amend entry:9',
    );
    expect(text(await w.say('greta', '/pitch amend number:2 at:06:00'))).toContain(
      'If 07:00 is wrong: /pitch amend entry:8',
    );
  });

  test('struck with those above, and brought back, exactly', async () => {
    w.at('2031-06-12 12:00');
    for (const n of [1, 2, 3]) await w.say('greta', `/pitch done number:${n} at:0${6 + n}:00`);
    const before = (await w.trip()).state.pitches;
    const refused = await w.say('jonas', '/pitch strike number:2');
    expect(text(refused)).toContain("Later pitches stand on that one: Pitch 2 isn't done yet");
    expect(first(await w.say('jonas', '[Strike those above as well]'))).toContain('Struck:');
    expect(await doneAt(2)).toBeUndefined();
    expect(first(await w.say('ines', '[Undo]'))).toContain('Brought back: pitch 2 done at 08:00');
    expect((await w.trip()).state.pitches).toEqual(before);
  });

  test.each([
    ['/pitch strike entry:99', 'There is no entry 99'],
    ['/pitch strike entry:1', "can't be struck"],
    ['/pitch strike number:5', 'Nothing was told of pitch 5 yet.'],
    ['/pitch strike entry:2', "Entry 2 can't be taken out: later posts stand on it."],
    ['/pitch amend entry:2 at:07:00', 'Entry 2 has no time to amend.'],
    ['/pitch amend number:1', 'Nothing to amend: name a time, a pitch or a leader.'],
  ])('%s is refused: %s', async (line, says) => {
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    const reply = await w.say('greta', line);
    expect(text(reply)).toContain(says);
    expect(reply.refused).toBe(true);
  });

  test('without a number it is the asker’s own newest post', async () => {
    w.at('2031-06-12 09:00');
    await w.say('greta', '/pitch done number:1 at:07:00');
    await w.say('mara', '/pitch done number:2 at:08:00');
    expect(first(await w.say('greta', '/pitch amend at:07:05'))).toContain('pitch 1 done at 07:05');
    expect(text(await w.say('ines', '/pitch strike'))).toContain("You haven't posted a pitch");
  });
});
