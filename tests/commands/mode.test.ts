/** What the party does now, as each reader sees it: the channel, the board, home, the sheet. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { lastHeard } from '../../src/alarm/words/common.ts';
import { boardOf } from '../../src/app/board/content.ts';
import { modeOf } from '../../src/trip/mode.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const say = (time: string, who: string, line: string) => {
  w.at(time.includes(' ') ? `2031-06-${time}` : `2031-06-12 ${time}`);
  return w.say(who, line);
};
const said = async (time: string, who: string, line: string) => text(await say(time, who, line));
const now = () => w.clock.wallMs();
const mode = async () => modeOf((await w.trip()).state, now()).is;
const home = async () => text({ lines: [lastHeard((await w.trip()).state, now())] });
const board = async () => boardOf((await w.trip()).state, undefined, now());
const labels = (reply: { buttons?: readonly { label: string }[] }) =>
  (reply.buttons ?? []).map((b) => b.label);

describe('a retreat', () => {
  beforeEach(async () => {
    await say('05:50', 'mara', '/trip depart');
    await say('07:00', 'greta', '/pitch done');
    await say('08:00', 'greta', '/pitch done');
    await say('09:00', 'mara', '/retreat begin');
  });

  it('begins where they are, goes station by station, and ends with everyone down', async () => {
    expect(await mode()).toBe('retreating');
    expect(await home()).toContain(': coming down since 09:00 (from Mara).');
    expect(await said('09:30', 'mara', '[Rappel done]')).toMatch(
      /^At the stance after pitch 1 at 09:30/,
    );
    expect(labels(await board())).toEqual([
      ...['Rappel to the ground done', 'Everyone is down', 'Everyone is down at…'],
    ]);
    const sheet = sheetText(sheetOf((await w.trip()).state, now()));
    expect(sheet).toContain(
      'As last told: Coming down since 09:00, from the stance after pitch 2; at',
    );
    expect(sheet).toContain('Retreating; last stance told: the stance after pitch 1, at 09:30.');
    expect(sheet).toContain('Next planned: the way down.');
    const ground = await say('10:00', 'mara', '/retreat rappel');
    expect(text(ground)).toMatch(/^On the ground at 10:00; rappels so far: 2\./);
    await say('10:20', 'mara', '[Everyone is down]');
    expect(await mode()).toBe('down');
    expect(await said('10:30', 'mara', '/retreat begin')).toMatch(
      /^Everyone was down at 10:20, so nobody retreats\./,
    );
  });

  it('refuses a pitch, with the way out, and takes it after that', async () => {
    const pitch = await say('09:40', 'greta', '/pitch done number:3');
    expect(pitch.refused).toBe(true);
    expect(text(pitch)).toContain('/retreat stop');
    // Before the retreat it may well have been.
    expect((await say('09:41', 'greta', '/pitch done number:3 at:08:50')).refused).toBeUndefined();
    await say('09:42', 'greta', '[Undo]');
    await say('10:00', 'mara', '/retreat stop');
    expect(await mode()).toBe('climbing');
    expect((await say('11:00', 'greta', '/pitch done number:3')).refused).toBeUndefined();
  });

  it.each([
    ['/retreat begin', 'You are retreating already.'],
    ['/retreat rappel station:5', 'A rappel goes down'],
    ['/retreat stop at:08:30', "The retreat began at 09:00, so it can't have stopped at 08:30."],
  ])('%s is refused', async (line, words) => {
    const reply = await say('10:00', 'mara', line);
    expect([reply.refused, text(reply)]).toEqual([true, expect.stringContaining(words)]);
    expect(text(reply)).toContain('/');
  });

  it('is neither behind nor projected to top out; nobody in trouble is called well', async () => {
    expect(await said('12:00', 'mara', '/topout')).toMatch(
      /^Coming down: no top-out is projected\./,
    );
    await say('12:01', 'greta', '/trouble report what:"Ines fell" who:Ines wants:cope');
    await say('12:10', 'mara', '/retreat rappel');
    expect(await home()).toContain('coming down since 09:00; rappelled to');
    expect(await home()).not.toContain('well');
  });

  it('is forecast as what is left of the way down, station by station', async () => {
    const left = async (time: string, line: string) =>
      /Down: (\d) rappels?, on the ground (\d\d:\d\d) \(cautious/u.exec(
        await said(time, 'mara', line),
      );
    const [, two, at] = (await left('09:05', '/topout')) ?? [];
    expect(two).toBe('2');
    // 10–12.5 min each by day, published; a third person comes down on each.
    expect(at?.slice(0, 2)).toBe('09');
    expect((await left('09:20', '/retreat rappel'))?.[1]).toBe('1');
    expect(await said('09:21', 'mara', '/plan')).toContain('Down: 1 rappel, ');
    expect(await said('09:40', 'mara', '/retreat rappel')).not.toContain('Down: ');
  });

  it('tells home by one press: coming down, all well, and by when', async () => {
    await say('09:06', 'mara', '[Undo]');
    const asked = await say('09:10', 'mara', '/retreat begin');
    const label = labels(asked).find((l) => l.startsWith('Tell home: all well, down by')) as string;
    await w.tick();
    const before = w.told.length;
    await say('09:11', 'mara', `[${label}]`);
    await w.tick();
    const dana = w.told.slice(before).find((t) => t.to === 'Dana')?.text ?? '';
    expect(dana).toContain('Mara, Jonas and Ines are coming down since Thu 09:10, all well.');
    expect(dana).toContain(`Everyone down by Thu ${label.slice(-5)}.`);
    const { state } = await w.trip();
    // Two rappels of 10–12.5 min by day, published, and a third person's share: done within two hours.
    expect(state.watch.plan.downMs).toBeGreaterThan(now());
    expect(state.watch.plan.downMs).toBeLessThan(now() + 2 * 3_600_000);
  });

  it('undone, is as if it had not been told', async () => {
    const after = modeOf((await w.trip()).state, now());
    await say('09:01', 'mara', '[Undo]');
    expect(after.is).toBe('retreating');
    expect(await mode()).toBe('climbing');
    expect((await w.trip()).state.retreats).toEqual([]);
  });
});

describe('from the top down', () => {
  beforeEach(async () => {
    await say('05:50', 'mara', '/trip depart');
    await say('05:51', 'mara', '/trip edit descent_min:120');
    for (let n = 1; n <= 8; n++)
      await say(`${String(6 + n).padStart(2, '0')}:00`, 'greta', '/pitch done');
  });

  it('home reads of the top and the usual way down, not of a pitch', async () => {
    expect(await home()).toBe(
      'Last heard 14:00, 0 min ago: reached the top, usual way down 2 h (from Greta).',
    );
  });

  it('each point of the way is a sign of life, and only everyone down ends the watch', async () => {
    expect(await said('14:20', 'mara', '/trip down reached:"left the top"')).toMatch(
      /^Left the top at 14:20\.\nWhen everyone is down: \/trip down/,
    );
    await say('16:00', 'mara', '/trip down reached:foot');
    expect(text(await board())).toContain(
      'Topped out 14:00; on the way down; at the foot of the descent 16:00.',
    );
    expect((await w.trip()).state.downAtMs).toBeUndefined();
    expect(await home()).toContain('at the foot of the descent (from Mara).');
    await say('16:30', 'mara', '/trip down');
    expect(await mode()).toBe('down');
    expect((await say('16:40', 'mara', '/trip down reached:stop')).refused).toBe(true);
  });

  it('is no retreat', async () => {
    expect((await say('14:10', 'mara', '/retreat begin')).refused).toBe(true);
  });
});

describe('the wet-rock hold', () => {
  beforeEach(async () => {
    await say('05:50', 'mara', '/trip depart');
    await say('07:00', 'greta', '/pitch done');
    await say('07:30', 'greta', '/rain start');
  });

  it('in the rain the pitch under way may be finished; a new one asks', async () => {
    expect(await mode()).toBe('waiting');
    expect((await say('07:50', 'greta', '/pitch done')).refused).toBeUndefined();
    expect(await mode()).toBe('waiting');
    const start = await say('08:00', 'greta', '/pitch start');
    expect(start.refused).toBe(true);
    expect(labels(start)).toEqual(['It was said to be dry', 'The rain ended at…']);
  });

  it('is answered with its end and the rule, and recorded with who said that the rock is dry', async () => {
    await say('08:00', 'greta', '/rain stop');
    const asked = await say('09:00', 'greta', '/pitch done at:-5m');
    expect(asked.refused).toBe(true);
    // 24 h: the least of the published waits, and a local reading of the Saxon climbing rules §4.3.
    expect(text(asked)).toMatch(
      /^Wet-rock hold until Fri 08:00: 24 h from the end of rain at 08:00\./,
    );
    expect(text(asked)).toContain("The land manager's rule holds.");
    expect((await w.trip()).state.pitches[1]?.done).toBeUndefined();
    await say('09:01', 'greta', '[It was said to be dry] dry:"the warden, by phone"');
    const { state } = await w.trip();
    expect(state.pitches[1]?.done).toBeDefined();
    expect(state.saidDry).toMatchObject([{ said: 'the warden, by phone', by: { name: 'Greta' } }]);
    expect(await said('09:02', 'mara', '/rain show')).toMatch(
      /^No wet-rock hold: .+“the warden, by phone”/,
    );
    // The next one isn't asked again, until it rains again.
    expect((await say('10:00', 'greta', '/pitch done')).refused).toBeUndefined();
    await say('10:30', 'greta', '/rain start');
    await say('10:40', 'greta', '/rain stop');
    expect((await say('11:00', 'greta', '/pitch done')).refused).toBe(true);
  });

  it('asks nothing of a pitch climbed before the rain, after the hold, or where none is set', async () => {
    await say('08:00', 'greta', '/rain stop');
    expect((await say('09:00', 'greta', '/pitch done at:07:20')).refused).toBeUndefined();
    await say('09:01', 'greta', '[Undo]');
    expect((await say('13 08:00', 'greta', '/pitch done')).refused).toBeUndefined();
    await say('13 08:01', 'greta', '[Undo]');
    await say('13 08:02', 'mara', '/trip edit wet_hours:0');
    expect(
      (await say('13 08:03', 'greta', '/pitch done at:"yesterday 09:00"')).refused,
    ).toBeUndefined();
  });
});

describe('a wait', () => {
  beforeEach(async () => {
    await say('05:49', 'mara', '/schedule set');
    await say('05:50', 'mara', '/trip depart');
    await say('09:00', 'greta', '/pitch done');
  });

  it('lasts as long as told, and is not behind for that', async () => {
    const wait = await said('09:10', 'mara', '/pitch break wait:2h why:weather words:thunder');
    expect(wait).toMatch(/^Waiting for the weather since 09:10 until 11:10\./);
    expect(await said('10:00', 'mara', '/schedule show')).toMatch(
      /^Waiting; not behind for that\./,
    );
    expect(labels(await board())).toEqual(['The wait is over']);
    w.at('2031-06-12 11:10');
    expect(await mode()).toBe('climbing');
    expect(await said('11:10', 'mara', '/schedule show')).toMatch(/^Behind by /);
  });

  it('ends with the next pitch posted, or when it is said to be over', async () => {
    await say('09:10', 'mara', '/pitch break wait:open');
    expect(await mode()).toBe('waiting');
    await say('09:40', 'greta', '/pitch start');
    expect(await mode()).toBe('climbing');
    await say('09:50', 'mara', '/pitch break wait:16:00');
    expect(await mode()).toBe('waiting');
    await say('10:00', 'mara', '/pitch break wait:over');
    expect(await mode()).toBe('climbing');
  });

  it.each([
    ['/pitch break', 'How long was it? Or does it go on?'],
    ['/pitch break wait:over', 'No wait is under way.'],
    ['/pitch break wait:2h minutes:40', 'Give one.'],
    ['/pitch break wait:soon', '"soon"'],
    ['/pitch break wait:30m at:-1h', 'has passed already.'],
    ['/pitch break wait:5d', 'longer than two days'],
    ['/pitch break wait:2h words:"Ines is hurt"', 'is somebody hurt'],
  ])('%s is answered with a way on', async (line, words) => {
    const reply = await say('09:30', 'mara', line);
    expect([reply.refused, text(reply)]).toEqual([true, expect.stringContaining(words)]);
    expect((await w.trip()).state.waits).toEqual([]);
  });
});
