/** Three on the wall, one of them hurt: one goes down for help, and each part is waited for on its own. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { boardOf } from '../../src/app/board/content.ts';
import { partsOf } from '../../src/trip/parts.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  await say('mara', '/checkin plan down:"fri 18:00" callout:"fri 22:00" nightly:21:00');
  await say('mara', '/trip depart');
  w.at('2031-06-12 09:00');
  await say('mara', '/pitch done number:1 at:07:00');
  await say('mara', '/pitch done number:2 at:08:00');
  w.at('2031-06-12 11:00');
});
afterEach(() => w.close());

async function say(who: string, line: string): Promise<string> {
  const reply = await w.say(who, line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return text(reply);
}
const parts = async () => partsOf((await w.trip()).state).map((p) => p.who.join(' '));

/** Ines can't go on; Jonas goes down alone, as Greta hears by radio. */
async function jonasGoes() {
  await say('greta', '/trouble report who:Ines what:"ankle twisted" where:"stance 2" wants:cope');
  w.at('2031-06-12 11:15');
  const asked = await w.say('greta', '/retreat begin who:Jonas');
  expect(asked.code).toBe('which-part');
  expect(text(asked)).toContain('As last told Jonas is with Mara and Ines. Have they parted?');
  expect(await parts()).toEqual(['mara jonas ines']);
  return say('greta', '[Yes, they have parted]');
}

describe('one goes down for help', () => {
  it('is asked before it is taken for a parting, and the others’ mode stays', async () => {
    expect(await jonasGoes()).toMatch(
      /^Jonas coming down from the stance after pitch 2 since 11:15\./,
    );
    expect(await parts()).toEqual(['mara ines', 'jonas']);
    expect(await say('greta', '/trip show')).toMatch(
      /Harrow Tower: Mara and Ines: Departed 06:10\. 2 of 8 pitches done.* Jonas: coming down since 11:15/,
    );
    // Ines is hurt, so every lead is Mara's.
    expect(await say('greta', '/lead next')).toMatch(/Then: 4 Mara \(A2\), 5 Mara, 6 Mara/);
  });

  it('a relayed word is asked whose it is, a climber’s is of their own part', async () => {
    await jonasGoes();
    w.at('2031-06-12 12:10');
    const asked = await w.say('greta', '/checkin ok');
    expect(labels(asked)).toEqual(['Mara and Ines', 'Jonas', 'All of them']);
    expect(await say('greta', '[Jonas]')).toMatch(
      /^Jonas well at 12:10\.\nIn parts: Mara and Ines · Jonas\./,
    );
    // Ines is in trouble, so she isn't called well.
    expect(await say('mara', '/checkin ok')).toMatch(/^Mara and Ines heard from at 12:10\./);
  });

  it('board, sheet and alarm show each part, and the alarm names who is missing', async () => {
    await jonasGoes();
    await say('greta', '/checkin plan who:Jonas once:13:00 about:"at the foot"');
    w.at('2031-06-12 12:30');
    await say('mara', '/trouble over said:"Mara: she walks again"');
    await w.tick();
    w.told.length = 0;
    w.at('2031-06-12 13:31');
    await w.tick();
    const dana = w.told.find((t) => t.to === 'Dana')?.text ?? '';
    expect(dana).toContain(
      'No word yet from Jonas on Harrow Tower. Expected: a check-in of Jonas at Thu 13:00 (“at the foot”)',
    );
    expect(dana).toContain('Mara and Ines: Last heard');
    const { state } = await w.trip();
    const now = w.clock.wallMs();
    expect(text(boardOf(state, undefined, now))).toMatch(/Jonas: Last heard 11:15/);
    expect(sheetText(sheetOf(state, now))).toMatch(
      /They are in 2 parts, as last told\.\nMara and Ines: Last heard .*\nJonas \(coming down, last told at the stance after pitch 2\): Last heard/,
    );
    // A word of the others doesn't end it; his own does.
    const others = await say('mara', '/checkin ok');
    expect(others).toContain('The alarm stands for Jonas: nothing was heard of them.');
    expect(await say('greta', '/checkin ok who:Jonas')).toContain('The alarm is over');
  });

  it('who is off the wall counts no more; the last one down is everybody', async () => {
    await jonasGoes();
    await say('mara', '/trouble over said:"she walks again"');
    w.at('2031-06-12 14:00');
    expect(await say('greta', '/trip down who:Jonas')).toContain('Still up there: Mara and Ines.');
    const sheet = sheetText(sheetOf((await w.trip()).state, w.clock.wallMs()));
    expect(sheet).toContain('Party of 2');
    w.at('2031-06-12 15:00');
    expect(await say('greta', '/trip down who:"mara ines"')).toMatch(/^Everyone off the wall/);
    expect((await w.trip()).state.downAtMs).toBeDefined();
  });

  it('those who met again are one party; undone as it was made', async () => {
    await jonasGoes();
    w.at('2031-06-12 12:00');
    await say('mara', '/checkin ok together:yes');
    expect(await parts()).toEqual(['mara jonas ines']);
    await say('mara', '[Undo]');
    expect(await parts()).toEqual(['mara ines', 'jonas']);
  });

  it('the end of a trouble is said before somebody in it is off the wall', async () => {
    await jonasGoes();
    const reply = await w.say('greta', '/trip down who:Ines');
    expect(reply.code).toBe('trouble-open');
  });
});

it('who is left behind by the others is on their own since they parted, wherever that is read', async () => {
  w.at('2031-06-12 11:15');
  await w.say('mara', '/retreat begin who:"Ines, Jonas"');
  await say('mara', '[Yes, they have parted]');
  const { state } = await w.trip();
  const said = [
    await say('greta', '/trip show'),
    sheetText(sheetOf(state, w.clock.wallMs())),
    text(boardOf(state, undefined, w.clock.wallMs())),
  ];
  for (const words of said) {
    expect(words).toMatch(/Mara: on their own since 11:15\./);
    expect(words).not.toContain('1970');
  }
});
