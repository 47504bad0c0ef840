import { describe, expect, it } from 'vitest';
import { LocalChannel } from '../../../src/chat/local/channel.ts';
import { play } from '../../../src/chat/local/play.ts';
import { jsonLine, scriptEntry } from '../../../src/chat/local/print.ts';
import { parseScript } from '../../../src/chat/local/script.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { folders } from '../../helpers/folders.ts';
import { chatStore, fakeWorld } from '../fakes.ts';

const newFolder = folders();

const folder = newFolder();
const MIN = 60_000;

interface Alarm {
  atMs: number;
  person?: string;
}

async function perform(text: string, options: { json?: boolean; alarms?: Alarm[] } = {}) {
  const script = parseScript(text, 'climb.txt');
  const clock = new ScriptClock(script.steps[0]?.atMs ?? 0);
  const store = chatStore([{ id: 'trip0001', channel: 'local:main' }]);
  const { app, calls } = fakeWorld(clock, undefined, store);
  let out = '';
  const channel = new LocalChannel(app, (entry) => {
    out += options.json
      ? jsonLine(entry, script.zone)
      : scriptEntry(entry, script.zone, { width: 80 });
  });
  const alarms = [...(options.alarms ?? [])];
  const ticks: number[] = [];
  const played = play({
    channel,
    script,
    clock,
    folder,
    nextDue: async () => alarms[0]?.atMs,
    onTick: async (nowMs) => {
      ticks.push(nowMs);
      while (alarms[0] !== undefined && alarms[0].atMs <= nowMs) {
        const { person } = alarms.shift() as Alarm;
        await channel.notify({
          reply: {
            lines: ['The party is overdue.'],
            buttons: [
              { label: 'I have it', press: { path: 'post undo', options: { entry: 'a' } } },
            ],
          },
          trip: 'trip0007',
          by: person === undefined ? 'channel' : 'direct message',
          ...(person === undefined ? {} : { person: { id: `local:${person}`, name: 'Dana' } }),
        });
      }
    },
  });
  return { done: played, output: () => out, calls, clock, ticks };
}

const at = (hour: number, minute: number) => Date.UTC(2031, 5, 12, hour, minute);

const CLIMB = [
  '2031-06-12 14:32  greta  /post done number:4 at:"10m ago"',
  '2031-06-12 14:33  mara   [Undo]',
  '2031-06-12 14:34  mara   /echo secret',
  '2031-06-12 14:40  mara   [Change the time] at:14:10',
  '2031-06-12 22:40',
].join('\n');

describe('a script that is played', () => {
  it('prints the channel as it would read', async () => {
    const { done, output } = await perform(CLIMB, {
      alarms: [{ atMs: at(20, 0), person: 'dana' }],
    });
    expect(await done).toEqual({ answers: 4, refused: 0 });
    expect(output()).toBe(
      [
        '2031-06-12 14:32  Greta  /post done number:4 at:"10m ago"',
        '  Pitch 4 done at 10m ago.',
        '  [Undo] [Change the time]',
        '',
        '2031-06-12 14:33  Mara  [Undo]',
        '  Struck p4.',
        '',
        '2031-06-12 14:34  Mara  /echo secret',
        '  (only to you)',
        '  Phone +47 00 00 00 00',
        '',
        '2031-06-12 14:40  Mara  [Change the time] at:14:10',
        '  Pitch 4 done at 14:10.',
        '  [Undo] [Change the time]',
        '',
        '2031-06-12 20:00  to Dana (direct message)',
        '  The party is overdue.',
        '  [I have it]',
        '',
        '',
      ].join('\n'),
    );
  });

  it('lets the watch look before each line, so that no time seems to have gone by unwatched', async () => {
    const { done, ticks } = await perform(CLIMB);
    await done;
    expect(ticks).toEqual([at(14, 33), at(14, 34), at(14, 40), at(22, 40)]);
  });

  it('is the same to the byte each time, as text and as JSON lines', async () => {
    for (const json of [false, true]) {
      const runs = [await perform(CLIMB, { json }), await perform(CLIMB, { json })];
      for (const run of runs) await run.done;
      expect(runs[0]?.output()).toBe(runs[1]?.output());
    }
  });

  it('gives one JSON object a line', async () => {
    const { done, output } = await perform(`zone Europe/Oslo\n${CLIMB}`, { json: true });
    await done;
    const lines = output()
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line));
    expect(lines).toHaveLength(4);
    expect(lines[0]).toMatchObject({
      at: '2031-06-12T14:32:00+02:00',
      kind: 'answer',
      who: 'Greta',
      refused: false,
      lines: ['Pitch 4 done at 10m ago.'],
      buttons: ['Undo', 'Change the time'],
    });
    expect(lines[2]).toMatchObject({ private: true });
  });

  it('lets everything due pass in order, each at its own time', async () => {
    const alarms = [at(15, 0), at(15, 0), at(18, 30), at(23, 0)].map((atMs) => ({ atMs }));
    const { done, output, clock } = await perform(CLIMB, { alarms });
    await done;
    const told = output().match(/^\S+ \S+ {2}to the channel$/gmu);
    expect(told).toEqual([
      '2031-06-12 15:00  to the channel',
      '2031-06-12 15:00  to the channel',
      '2031-06-12 18:30  to the channel',
    ]);
    expect(clock.wallMs()).toBe(at(22, 40));
  });

  it('tells what was due before it began', async () => {
    const { done, output } = await perform(CLIMB, { alarms: [{ atMs: at(9, 0) }] });
    await done;
    expect(output()).toMatch(/^2031-06-12 14:32 {2}to the channel/u);
  });

  it('takes its button from the newest message the speaker sees, and keeps its trip', async () => {
    const { done, calls } = await perform(
      '2031-06-12 14:32 dana /help\n2031-06-12 14:40 dana [i have it]',
      { alarms: [{ atMs: at(14, 35), person: 'dana' }] },
    );
    await done;
    expect(calls.at(-1)?.call.trip).toBe('trip0007');
    expect(calls.at(-1)?.call.actor).toEqual({ id: 'local:dana', name: 'Dana' });
  });

  it.each([
    ['mara [I have it]', 'Mara sees no button [I have it].'],
    ['mara hello', 'A line begins with /'],
    ['mara /post dnoe', 'Did you mean /post done?'],
    ['dana [I have it] at:x', 'asks for nothing'],
  ])('stops at a line that cannot be read: %s', async (line, reason) => {
    const text = `2031-06-12 14:32 dana /help\n\n2031-06-12 14:40 ${line}`;
    const { done } = await perform(text, { alarms: [{ atMs: at(14, 35), person: 'dana' }] });
    await expect(done).rejects.toThrow('climb.txt:3: ');
    await expect(done).rejects.toThrow(reason);
  });

  it('stops at a form that is left empty', async () => {
    const text = `${CLIMB.split('\n')[0]}\n2031-06-12 14:40 mara [Change the time]`;
    const { done } = await perform(text);
    await expect(done).rejects.toThrow('climb.txt:2: [Change the time] asks for Time');
  });

  it('counts what was refused', async () => {
    const { done } = await perform('2031-06-12 14:32 mara /echo refuse');
    expect(await done).toEqual({ answers: 1, refused: 1 });
  });

  it('gives up on a watch that never gets on', async () => {
    const script = parseScript('2031-06-12 14:32', 'f');
    const clock = new ScriptClock(at(14, 32));
    const channel = new LocalChannel(fakeWorld(clock).app, () => {});
    const stuck = play({ channel, script, clock, folder, nextDue: async () => at(14, 0) });
    await expect(stuck).rejects.toThrow('does not get past');
  });
});

describe('a script clock', () => {
  it('wakes sleepers in order and never goes back', async () => {
    const clock = new ScriptClock(0);
    const woken: string[] = [];
    const stop = new AbortController();
    const all = [
      clock.sleep(2 * MIN).then(() => woken.push('two')),
      clock.sleep(MIN).then(() => woken.push('one')),
      clock.sleep(9 * MIN, stop.signal).then(() => woken.push('stopped')),
    ];
    clock.moveTo(3 * MIN);
    stop.abort();
    await Promise.all(all);
    expect(woken).toEqual(['one', 'two', 'stopped']);
    expect(() => clock.moveTo(MIN)).toThrow(RangeError);
    expect(clock.monoMs()).toBe(3 * MIN);
  });
});
