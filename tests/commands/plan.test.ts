import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { MAIN_CHANNEL } from '../../src/chat/local/speaker.ts';
import type { Reply } from '../../src/say/reply.ts';
import { fold } from '../../src/trip/fold.ts';
import { climb } from '../app/forecast/said.ts';
import { text, type World, world } from '../helpers/world.ts';
import { ask, labels } from './ask.ts';
import { at, FRI, openTwoDays, THU, upTo as upToIn } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());

const state = async () => (await w.trip()).state;
const plan = async () => text(await w.say('mara', '/plan'));
const said = async (line: string) => text(await w.say('greta', line));
const upTo = (pitch: number) => upToIn(w, pitch);

describe('/plan', () => {
  it('says which day goes where, with the odds, before departure', async () => {
    const lines = (await plan()).split('\n');
    expect(lines[0]).toMatch(
      /^Thu 12 Jun: first move 07:00, pitches 1–5\. Night after 5: there Thu \d\d:\d\d \(cautious Thu \d\d:\d\d\), by Thu 21:00: .* in .*\.$/,
    );
    expect(lines[1]).toMatch(
      /^Fri 13 Jun: first move 07:00, pitches 6–9\. Top Fri .*, down Fri .*\. Last boat Fri 21:20: /,
    );
    // Common practice, no source: an hour each side on a ledge. Six hours of rest are from memory.
    expect(lines[2]).toContain('evening 1 h, rest 6 h at least, morning 1 h');
    expect(lines.length).toBeLessThan(6);
  });

  it('gives a day its own start: a clock time, or the first shuttle and the approach', async () => {
    await w.say('mara', '/schedule set');
    const early = text(await w.say('mara', '/plan day:2 start:5:30'));
    expect(early).toContain('Fri 13 Jun: first move 05:30');
    expect(early).toContain('The schedule is still the one of the plan before: /schedule set');
    await w.say('mara', '/trip edit approach_min:75');
    const boat = text(await w.say('mara', '/plan day:1 start:boat'));
    expect(boat).toContain('Thu 12 Jun: first boat 07:20, first move 08:35');
    await w.say('mara', '[Undo]');
    expect(await plan()).toContain('Thu 12 Jun: first move 07:00');
    await w.say('mara', '/plan day:2 start:usual');
    expect(await plan()).toContain('Fri 13 Jun: first move 07:00');
    expect((await w.say('mara', '/plan start:05:00')).refused).toBe(true);
    expect(early).not.toContain('Kept for');
    expect(text(await w.say('mara', '/plan day:5 start:05:00'))).toMatch(
      /^Kept for day 5, should there be one: the plan has 2 so far\./,
    );
  });

  it('moves with its first day, and says what has to be set anew', async () => {
    await climb(w, '2031-06-11', [
      ['19:10', 'mara', '/schedule set'],
      ['19:11', 'mara', '/checkin plan down:"fri 18:00"'],
      ['19:12', 'mara', '/cutoff add kind:weather at:"fri 20:00" label:Front'],
    ]);
    const moved = await said('/trip edit first_day:2031-06-13');
    expect(moved).toContain('The schedule is still the one of the plan before: /schedule set');
    expect(moved).toContain('Times agreed with home stay as they are (Fri 18:00): /checkin plan');
    expect(moved).toContain('So do cutoffs: Front.');
    const lines = (await plan()).split('\n');
    expect(lines[0]).toMatch(/^Fri 13 Jun: .* there Fri /);
    expect(lines[1]).toMatch(/^Sat 14 Jun: .*Last boat Sat 21:20/);
    expect(await said('/trip edit haul_bag:no')).not.toContain('schedule');
  });

  it('moved, it is no longer judged by the schedule of the days before', async () => {
    await climb(w, '2031-06-11', [
      ['19:20', 'mara', '/schedule set'],
      ['19:30', 'mara', '/trip edit first_day:2031-06-13'],
    ]);
    for (const command of ['/topout', '/schedule show', '/board']) {
      const answer = text(await w.say('mara', command));
      expect(answer, command).not.toMatch(/Behind|left before the latest/);
      expect(answer, command).toContain('of another first day than the plan: /schedule set');
    }
    await climb(w, '2031-06-11', [['19:40', 'mara', '/schedule set']]);
    expect(text(await w.say('mara', '/topout'))).not.toContain('another first day');
  });

  it('says when not all can lie down where the night is planned', async () => {
    const edited = text(await w.say('mara', '/topo edit number:5 bivy:"ledge 2"'));
    expect(edited).toContain('Not all can lie down on a planned night: room for 2 after pitch 5');
    expect(text(await w.say('mara', '/plan')).replace(/\s+/gu, ' ')).toContain(
      'room for 2 after pitch 5, you are 3. Another place: /bivy plan',
    );
    await w.say('mara', '/topo edit number:5 bivy:"ledge 3"');
    expect(text(await w.say('mara', '/plan'))).not.toContain('Not all can lie down');
  });

  it('shows what was done and slept, any time after', async () => {
    await upTo(5);
    w.at(`${THU} 20:00`);
    await w.say('greta', '/bivy settle');
    w.at(`${FRI} 08:00`);
    expect(await plan()).toMatch(
      /^Thu 12 Jun: pitches 1–5, done Thu 12:00\. Night after 5, settled Thu 20:00\.\nFri 13 Jun: first move 07:00, pitches 6–9/,
    );
  });
});

describe('a two-day wall that goes as planned', () => {
  it('is never behind, and tops out on the planned day in every answer', async () => {
    await w.say('mara', '/schedule set');
    const checkpoints = (await state()).schedule?.checkpoints ?? [];
    await climb(w, THU, [
      ['06:30', 'mara', '/trip depart'],
      ['07:00', 'greta', '/pitch start'],
    ]);
    for (const { pitch, plannedMs } of checkpoints) {
      if (pitch === 6) {
        await climb(w, THU, [['21:00', 'greta', '/bivy settle']]);
        expect(await said('/schedule show')).toContain(
          'Settled for the night; not behind for that.',
        );
        await climb(w, FRI, [['07:00', 'greta', '/bivy leave']]);
        expect(await said('/schedule show')).toContain('On schedule at pitch 5');
      }
      w.clock.set(plannedMs);
      const answer = await said('/pitch done');
      expect(answer).not.toMatch(/behind/i);
      if (pitch < 9) expect(answer).toMatch(pitch < 6 ? /Top-out Fri / : /Top-out \d\d:\d\d/);
    }
  });

  it('asleep as planned without a word is not behind, and a late evening is not a night late', async () => {
    await w.say('mara', '/schedule set');
    await upTo(5);
    w.at(`${FRI} 06:50`);
    expect(await said('/schedule show')).not.toMatch(/Behind by \d+ h/);
    // Two hours of work behind, whatever the night between.
    const planned = (await state()).schedule?.checkpoints[5]?.plannedMs ?? 0;
    w.clock.set(planned + 2 * 3_600_000);
    expect(await said('/pitch done')).toMatch(/Behind by (2 h|1 h 5\d)/);
  });
});

describe('early at the planned ledge', () => {
  it('asks what they mean to do, with the odds of each way', async () => {
    const reply = await upTo(5);
    expect(labels(reply).slice(0, 3)).toEqual(['Stay', 'Climb on', 'Fix a pitch and come back']);
    const answer = text(reply);
    expect(answer).toContain('At the planned ledge, 9 h before the stop time. What do you mean');
    expect(answer).toMatch(/\nStay: top-out Fri .* Last boat Fri 21:20: /);
    expect(answer).toMatch(/\nClimb on: top-out (by )?\d\d:\d\d.* Last boat Fri 21:20: /);
    expect(answer).toMatch(/\nFix pitch 6 and come back: top-out Fri /);
  });

  it('follows the answer: on, or back after fixing; and undoes it', async () => {
    await upTo(5);
    const before = await said('/topout');
    expect(before).toMatch(/^Top-out Fri /);
    expect(await said('[Climb on]')).toContain('Thu 12 Jun');
    expect(await said('/topout')).toMatch(/^Top-out (by )?\d\d:\d\d/);
    const dropped = await w.trip();
    await w.say('greta', '[Undo]');
    expect(await said('/topout')).toBe(before);
    expect((await state()).bivyPlan).toEqual([5]);
    expect(dropped.state.bivyPlan).toEqual([]);
  });

  it('to climb on is carried out, also where the rule of the night would keep them', async () => {
    const times = ['09:00', '11:00', '13:00', '15:30', '17:50'];
    const posts = times.map((time) => [time, 'greta', '/pitch done'] as const);
    const reply = (
      await climb(w, THU, [
        ['06:30', 'mara', '/trip depart'],
        ['07:00', 'greta', '/pitch start'],
        ...posts,
      ])
    ).at(-1);
    const way = (line: string, label: string) =>
      new RegExp(`\\n${label}: top-out (by )?(\\w{3} )?(\\d\\d:\\d\\d)`, 'u').exec(line)?.[3];
    const offered = text(reply as Reply);
    // Up in the night, well before those who sleep here.
    const [on, stay] = [way(offered, 'Climb on') ?? '', way(offered, 'Stay') ?? ''];
    expect(on < '09:00' || on > '20:00', on).toBe(true);
    expect(stay > '09:00').toBe(true);
    const decide = await said('/decide');
    expect(decide).not.toContain('On: top-out Fri 1');
    const chosen = await said('[Climb on]');
    expect(chosen).toContain('Chosen: climb on from 5.');
    expect(chosen).not.toContain('Night most likely after 5');
    expect(/Top-out (by )?(\w{3} )?(\d\d:\d\d)/u.exec(await said('/topout'))?.[3]).toBe(on);
  });

  it('sleeps at the ledge after fixing, and is an hour or so ahead in the morning', async () => {
    await upTo(5);
    const top = async () => (await said('/topout')).split('\n')[0] ?? '';
    const minutes = (line: string) => {
      const [, hour, minute] = /Top-out Fri (\d\d):(\d\d)/.exec(line) ?? [];
      return Number(hour) * 60 + Number(minute);
    };
    const stay = minutes(await top());
    expect(await said('[Fix a pitch and come back]')).toContain('Chosen: fix pitch 6');
    const fix = minutes(await top());
    expect(stay - fix).toBeGreaterThan(15);
    expect(stay - fix).toBeLessThan(90);
    w.at(`${THU} 14:00`);
    await w.say('greta', '/pitch fixed number:6');
    // They are back on the ledge, and nobody climbs on today.
    expect(await top()).toMatch(/^Top-out Fri /);
  });

  it('is not asked again by an old button', async () => {
    const reply = await upTo(5);
    await climb(w, THU, [['13:00', 'greta', '/pitch done']]);
    const stay = reply.buttons?.find((b) => b.label === 'Climb on')?.press.options;
    expect(stay).toEqual({ way: 'on', pitch: 5 });
    const late = await ask(w, { user: 'local:greta', channel: MAIN_CHANNEL }, 'plan', {
      way: 'on',
      pitch: 5,
    });
    expect(late.refused).toBe(true);
    expect(text(late)).toContain('They are at pitch 6 by now.');
    expect((await state()).bivyPlan).toEqual([5]);
  });

  it('is not asked of a post that is hours old, nor with little day left', async () => {
    const four = await upTo(4);
    expect(labels(four)).not.toContain('Stay');
    w.at(`${THU} 18:30`);
    expect(labels(await w.say('greta', '/pitch done at:"12:00"'))).not.toContain('Stay');
    await w.say('greta', '[Undo]');
    expect(labels(await w.say('greta', '/pitch done'))).not.toContain('Stay');
  });
});

describe('short of the planned ledge at the stop time', () => {
  async function late() {
    await upTo(3);
    w.at(`${THU} 20:50`);
    return w.say('greta', '/pitch done');
  }

  it('asks: on in the dark, sit it out, or down', async () => {
    const reply = await late();
    expect(labels(reply).slice(0, 3)).toEqual(['On in the dark', 'Sit it out', 'Down']);
    const answer = text(reply);
    expect(answer).toContain('Not at the planned ledge (pitch 5) by the stop time 21:00.');
    expect(answer).toMatch(
      /\nOn in the dark, to 5: there 2[12]:\d\d \(cautious 2[123]:\d\d\), top-out Fri /,
    );
    expect(answer).toMatch(/\nSit it out, with nowhere to lie down, until Fri 07:00: top-out Fri /);
    expect(answer).toMatch(/\nDown: 4 rappels, on the ground \d\d:\d\d \(cautious .*\)\./);
  });

  it('goes on in the dark to the ledge and sleeps there, when that was chosen', async () => {
    await late();
    expect(await said('[On in the dark]')).toContain('Chosen: on in the dark.');
    const { darkTo } = (await import('../../src/forecast/input.ts')).forecastInput(
      await state(),
      w.clock.wallMs(),
    );
    expect(darkTo).toBe(5);
    w.at(`${THU} 23:00`);
    const up = await w.say('greta', '/pitch done');
    expect(labels(up)).not.toContain('On in the dark');
    expect(text(up)).toMatch(/Top-out Fri /);
  });

  it('sits it out, and passes the planned ledge next day without a second night', async () => {
    await late();
    expect(await said('[Sit it out]')).toContain('Settled after pitch 4');
    await climb(w, FRI, [
      ['07:00', 'greta', '/bivy leave'],
      ['08:10', 'greta', '/pitch done'],
    ]);
    expect(await said('/topout')).toMatch(/^Top-out \d\d:\d\d \(cautious \d\d:\d\d\)/);
  });

  it('goes down with trouble on the way: /topout says so first, and at the foot asks for the end', async () => {
    await late();
    await climb(w, THU, [
      ['21:30', 'mara', '/retreat begin'],
      ['22:00', 'mara', '/trouble report what:"a stuck rope" who:Mara'],
    ]);
    expect(await said('/topout')).toMatch(
      /^Trouble stands: these figures are as if all could go on as before\.\nComing down: [\s\S]*\nDown: \d rappels/,
    );
    await climb(w, THU, [
      ['23:00', 'mara', '/trouble over said:"Mara: free again"'],
      ...['23:10', '23:25', '23:40'].map((time) => [time, 'mara', '/retreat rappel'] as const),
      ['23:55', 'mara', '/retreat rappel station:0'],
    ]);
    const foot = await said('/topout');
    expect(foot).toMatch(/^Coming down: /);
    expect(foot).toContain('Everyone down: /trip down');
    expect(foot).not.toContain('/retreat stop');
  });

  it('goes down, after rain in the night, and projects no top-out', async () => {
    await late();
    await said('[Sit it out]');
    await climb(w, FRI, [
      ['02:00', 'mara', '/rain start'],
      ['05:00', 'mara', '/rain stop'],
      ['06:00', 'mara', '/retreat begin'],
    ]);
    expect(await said('/topout')).toContain('no top-out is projected');
    const plan = await said('/plan');
    expect(plan).toContain('no top-out is projected');
    expect(plan).not.toMatch(/pitches \d|first move|Top /);
    await said('/trip down reached:foot');
    const foot = await said('/topout');
    expect(foot).toContain('Everyone down: /trip down');
    expect(foot).not.toContain('/retreat stop');
  });
});

describe('the last boat of the planned day', () => {
  it('keeps its name and its place when it is lost, and the next one is said with it', async () => {
    await upTo(5);
    await climb(w, THU, [['20:00', 'greta', '/bivy settle']]);
    const [, late] = await climb(w, FRI, [
      ['07:00', 'greta', '/bivy leave'],
      ['18:00', 'greta', '/pitch done number:6'],
    ]);
    expect(text(late as never)).toMatch(/Last boat 21:20( is out of reach|: .*); Sat 21:20: /);
    w.at(`${FRI} 21:40`);
    const gone = await said('/pitch done number:7');
    expect(gone).toContain('Last boat 21:20 is gone: next Sat 07:20.');
    expect((await said('/topout')).split('\n')[0]).toContain('Last boat 21:20 is gone');
    w.at('2031-06-14 06:00');
    expect(await said('/topout')).toContain('Last boat Fri 21:20 is gone: next 07:20.');
  });
});

describe('hours without a word', () => {
  it('say what is expected by now and since when nothing was heard, and call nobody late', async () => {
    await w.say('mara', '/schedule set');
    await upTo(2);
    w.at(`${THU} 11:40`);
    for (const line of ['/topout', '/board']) {
      const answer = await said(line);
      expect(answer).toMatch(
        /\nIf they go as expected: pitch [45] by now, top Fri \d\d:\d\d; nothing heard since 09:00\./,
      );
      expect(answer).not.toContain('Behind');
    }
    // The posts come in a batch, and it goes on from there.
    await climb(w, THU, [
      ['11:45', 'greta', '/pitch done at:10:00'],
      ['11:45', 'greta', '/pitch done at:11:00'],
    ]);
    expect(await said('/topout')).not.toContain('If they go as expected');
  });

  it('never ask for a pitch sooner than it can be climbed', async () => {
    // Half the day is gone: the ledge by nine at nine in ten would want the next pitch at once.
    await climb(w, THU, [
      ['06:30', 'mara', '/trip depart'],
      ['14:00', 'greta', '/pitch start'],
      ['15:30', 'greta', '/pitch done'],
      ['17:00', 'greta', '/pitch done'],
    ]);
    const [, hour, minute] =
      /Be done with pitch 3 by (\d\d):(\d\d)/.exec(await said('/topout')) ?? [];
    const asked = hour === undefined ? Infinity : at(`${THU} ${hour}:${minute}`);
    expect(asked).toBeGreaterThan(at(`${THU} 17:40`));
  });
});

describe('a one-day free route of eight hours', () => {
  it('has one day, no question, and home by the planned day’s boat', async () => {
    await w.say('mara', '/bivy plan pitch:5 drop:yes');
    expect(await plan()).toMatch(/^Thu 12 Jun: first move 07:00, pitches 1–9\. Top /);
    const reply = await upTo(8);
    expect(labels(reply)).toEqual(['Undo', 'Change the time']);
    expect(text(reply)).toMatch(/Top-out 1[56]:\d\d/);
    expect(await said('/topout')).toContain('Last boat 21:20: all but sure');
    const all = await w.trip();
    expect(
      fold(
        all.state.id,
        all.state.entries.map((e) => e.event),
      ).pitches[7]?.done?.atMs,
    ).toBe(at(`${THU} 15:00`));
  });
});
