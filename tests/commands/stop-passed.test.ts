/** The planned night's stop time passes without a word: the party is asked what it means to do, once and quietly. */
import { afterEach, beforeEach, expect, it } from 'vitest';
import { MAIN_CHANNEL } from '../../src/chat/local/speaker.ts';
import { text, type World, world } from '../helpers/world.ts';
import { ask } from './ask.ts';
import { FRI, openTwoDays, THU, upTo } from './two-days.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openTwoDays(w);
});
afterEach(() => w.close());

/** What the watch puts in the channel about the stop time until then. */
async function asked(until: string) {
  w.at(until);
  await w.tick();
  return w.told.filter((t) => t.text.includes('the stop time has passed'));
}

it('asks in the channel, with the odds of each way, and nobody is called for it', async () => {
  await upTo(w, 3);
  expect(await asked(`${THU} 21:05`)).toEqual([]);
  const [question, ...more] = await asked(`${THU} 21:10`);
  expect(more).toEqual([]);
  expect(question?.way).toBe('channel');
  expect(question?.envelope.message.pings ?? []).toEqual([]);
  const lines = question?.text.split('\n') ?? [];
  expect(lines[1]).toBe(
    'Stop time 21:00, and no word yet from the planned ledge (pitch 5). Last told: pitch 3, done 10:00.',
  );
  expect(lines[2]).toBe('If they are there: /pitch done, then /bivy settle');
  expect(lines[4]).toMatch(/^On in the dark, to 5: there (2[1-3]|Fri 0\d):\d\d/);
  expect(lines[5]).toMatch(/^Sit it out, with nowhere to lie down, until Fri 07:00: top-out Fri /);
  expect(lines[6]).toMatch(
    /^Down: 3 rappels, on the ground 21:\d\d \(cautious 2\d:\d\d\)\. Next boat Fri 07:20\.$/,
  );
  expect(await asked(`${THU} 23:30`)).toHaveLength(1);
  expect(await asked(`${FRI} 06:00`)).toHaveLength(1);
});

it('its buttons do what they say, and do nothing once the party has moved', async () => {
  await upTo(w, 3);
  const [question] = await asked(`${THU} 21:10`);
  const press = (label: string) => {
    const button = question?.envelope.message.buttons?.find((b) => b.label === label);
    if (button === undefined) throw new Error(`no button ${label}`);
    const greta = { user: 'local:greta', channel: MAIN_CHANNEL };
    return ask(w, greta, button.press.path, button.press.options);
  };
  expect(text(await press('On in the dark'))).toContain('Chosen: on in the dark.');
  w.at(`${THU} 22:00`);
  await w.say('greta', '/pitch done');
  const late = await press('On in the dark');
  expect(late.refused).toBe(true);
  expect(text(late)).toContain('They are at pitch 4 by now.');
  expect(text(await press('Sit it out'))).toContain('They are at pitch 4 by now.');
});

it.each([
  [
    'are there',
    [
      ['19:30', '/pitch done number:4'],
      ['20:35', '/pitch done number:5'],
    ],
  ],
  ['have settled short of it', [['20:10', '/bivy settle']]],
  ['were asked by the answer to a post', [['20:50', '/pitch done']]],
  ['are coming down', [['20:00', '/retreat begin']]],
  ['wait for the rock to dry', [['20:00', '/rain start']]],
] as const)('doesn’t ask those who %s', async (_, posts) => {
  await upTo(w, 3);
  for (const [time, line] of posts) {
    w.at(`${THU} ${time}`);
    const reply = await w.say('greta', line);
    expect(reply.refused, text(reply)).not.toBe(true);
  }
  expect(await asked(`${THU} 21:10`)).toEqual([]);
});

it('leaves it to the alarm where one stands', async () => {
  await w.say('mara', '/checkin plan once:"thu 20:00"');
  await upTo(w, 3);
  expect(await asked(`${THU} 21:10`)).toEqual([]);
  expect(w.told.length).toBeGreaterThan(0);
});
