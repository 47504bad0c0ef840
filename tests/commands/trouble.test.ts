import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { phasesToTell } from '../../src/alarm/ladder.ts';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { speaksOfTrouble } from '../../src/app/speaks-of-trouble.ts';
import { signWords } from '../../src/trip/signs.ts';
import type { Sign } from '../../src/trip/watch-state.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  w.at('2031-06-12 06:10');
  await say('mara', '/checkin plan down:"fri 18:00" callout:"fri 22:00"');
  await say('mara', '/trip depart');
  w.at('2031-06-12 11:00');
});
afterEach(() => w.close());

async function say(who: string, line: string) {
  const reply = await w.say(who, line);
  if (reply.refused) throw new Error(`${line}\n${text(reply)}`);
  return reply;
}

async function risen() {
  const { state } = await w.trip();
  return phasesToTell(state, w.clock.wallMs()).map((r) => `${r.phase}: ${r.to.join(' ')}`);
}

describe('a report of trouble', () => {
  it('asks for the call-out at once, from everybody, unless they say that they cope', async () => {
    await say('greta', '/trouble report what:"fell, leg broken" who:Ines where:"stance 6"');
    expect(await risen()).toEqual(['distress: @field dana']);
  });

  it('is an alert when they cope, and distress when nothing more is heard for two hours', async () => {
    await say('mara', '/trouble report what:"twisted ankle" who:Ines wants:cope');
    expect(await risen()).toEqual(['alert: @field dana']);
    w.at('2031-06-12 12:30');
    await say('mara', '/trouble update words:"taped, going down slowly"');
    w.at('2031-06-12 14:20');
    expect(await risen()).toEqual(['alert: @field dana']);
    w.at('2031-06-12 14:30');
    expect(await risen()).toEqual(['distress: @field dana']);
  });

  it('becomes a call-out by one press', async () => {
    const told = await say('mara', '/trouble report what:"twisted ankle" wants:cope');
    const button = told.buttons?.find((b) => b.label === 'Call-out wanted');
    expect(button?.press).toMatchObject({ path: 'trouble update', options: { wants: 'callout' } });
    await say('mara', '/trouble update words:"worse" wants:callout');
    expect(await risen()).toEqual(['distress: @field dana']);
    // And no later word takes that back.
    const better = await say('mara', '/trouble update words:"a little better" wants:cope');
    expect(text(better)).toContain('The call-out stays wanted');
    expect(await risen()).toEqual(['distress: @field dana']);
  });

  it('stands before the departure and after everyone was told to be down', async () => {
    const early = await world();
    try {
      await openDemo(early);
      const reply = await early.say('mara', '/trouble report what:"car crash on the way in"');
      expect(text(reply)).toMatch(/Being told now: Dana/);
      const { state } = await early.trip();
      expect(phasesToTell(state, early.clock.wallMs())[0]?.phase).toBe('distress');
    } finally {
      await early.close();
    }
  });
});

describe('only somebody who knows that it is over ends it', () => {
  beforeEach(() => say('greta', '/trouble report what:"fell, leg broken" who:Ines'));

  it.each([
    '/checkin ok words:"all well here"',
    '/overdue resolve how:fine',
    '/pitch done number:1',
    '/bivy settle',
    '/overdue ack',
  ])('%s does not', async (line) => {
    await say('mara', line);
    const { state } = await w.trip();
    expect(state.troubles[0]?.over).toBeUndefined();
    expect((await risen()).join()).toMatch(/distress/);
  });

  it('a later call-out time needs a second person', async () => {
    const asked = await w.say('mara', '/checkin plan callout:"sun 22:00"');
    expect(asked.code).toBe('second-person');
    expect((await risen()).join()).toMatch(/distress/);
  });

  it('a sign of life says that it stands, with the way to end it', async () => {
    const reply = await say('mara', '/checkin ok');
    expect(text(reply)).toMatch(/The trouble stands all the same/);
    expect(reply.buttons?.map((b) => b.label)).toContain('The trouble is over');
  });

  it('it can’t be struck', async () => {
    const { state } = await w.trip();
    const reply = await w.say('greta', `/pitch strike entry:${state.seq}`);
    expect(reply.refused).toBe(true);
    expect(text(reply)).toMatch(/can't be struck/);
  });

  it('everyone down asks whether they are out too', async () => {
    const asked = await w.say('greta', '/trip down');
    expect(asked.refused).toBe(true);
    expect(text(asked)).toMatch(/Ines \(hurt\): “fell, leg broken”/);
    expect(asked.buttons?.map((b) => b.label)).toEqual(['Yes, everyone is out']);
    await say('greta', '[Yes, everyone is out]');
    const { state } = await w.trip();
    expect(state.troubles[0]?.over?.left).toBe('out');
    expect(state.downAtMs).toBeDefined();
    expect(await risen()).toEqual([]);
  });

  it('a closing is refused', async () => {
    expect((await w.say('mara', '/trip close')).refused).toBe(true);
  });

  it('the end says who says so, and can be undone', async () => {
    const bare = await w.say('mara', '/trouble over said:""');
    expect(bare.refused).toBe(true);
    const reply = await say(
      'mara',
      '/trouble over said:"Greta saw her walk at the landing" left:out',
    );
    expect(text(reply)).toMatch(/^Over: Ines, off the wall/);
    expect(await risen()).toEqual([]);
    await say('mara', '[Undo]');
    expect((await risen()).join()).toMatch(/distress/);
  });
});

describe('words that may mean trouble are asked back', () => {
  it.each([
    'a leg is broken, need rescue',
    'Jonas fell but is fine',
    'no help needed',
    'SOS',
    'we are stuck at the roof',
  ])('“%s”', async (words) => {
    const before = (await w.trip()).state.seq;
    for (const line of [
      `/checkin ok words:"${words}"`,
      `/overdue resolve how:fine words:"${words}"`,
    ]) {
      const reply = await w.say('mara', line);
      expect(reply.refused).toBe(true);
      expect(reply.buttons?.map((b) => b.label)).toEqual(['Report trouble', 'All are well']);
    }
    expect((await w.trip()).state.seq).toBe(before);
  });

  it('where they are is read as well as what they said', async () => {
    const reply = await w.say('mara', '/checkin ok words:hello place:"ledge 4, Ines hurt"');
    expect(reply).toMatchObject({ refused: true, code: 'sounds-like-trouble' });
  });

  it('and count once they say that all are well', async () => {
    await w.say('mara', '/checkin ok at:10:55 words:"no help needed"');
    await say('mara', '[All are well]');
    const { state } = await w.trip();
    const sign = state.watch.signs.at(-1) as Sign;
    expect(sign.atMs).toBe(w.clock.wallMs() - 5 * 60_000);
    expect(signWords(state, sign)).toBe('“no help needed”');
  });

  test.each([
    'Jonas ist krank, sie kommen runter',
    'Ines ist bewußtlos',
    'Bein gebrochen, der Hubschrauber kommt',
    'Armbruch, sonst gut',
    'die Bergwacht ist bei ihnen',
    'sind im Krankenhaus',
    'beide unterkühlt und erschöpft',
    'sitzen auf dem Band fest',
    'Mara war kurz ohnmächtig',
    'ein Notfall',
  ])('in German as well: %s', (words) => {
    expect(speaksOfTrouble(words)).toBeDefined();
  });

  test.each(['alle wohlauf', 'langsam, aber gut gelaunt', 'Gipfel erreicht, steigen ab'])(
    'ordinary German words pass: %s',
    (words) => {
      expect(speaksOfTrouble(words)).toBeUndefined();
    },
  );

  test.each([
    'all good, but Jonas cut his hand badly',
    'Ines twisted her ankle',
    'Mara hit by a stone',
    'Jonas hat sich in die Hand geschnitten',
  ])('and of what is told in passing: %s', (words) => {
    expect(speaksOfTrouble(words)).toBeDefined();
  });

  test('ordinary words pass', () => {
    for (const words of [
      'cut the tag line, hauling now',
      'short cut over the slab',
      'all well',
      'slow but happy',
      'pitch 6 done, hauling',
      'tired, good ledge',
    ]) {
      expect(speaksOfTrouble(words)).toBeUndefined();
    }
  });
});

describe('who is up there counts', () => {
  it('a climber leaves the roster of a party that is out only off the wall', async () => {
    const asked = await w.say('mara', '/roster remove who:Jonas');
    expect(asked.buttons?.map((b) => b.label)).toEqual(['Off the wall', 'Still up there']);
    const up = await w.say('mara', '[Still up there]');
    expect(text(up)).toMatch(/Jonas stays on the roster/);
    const { state } = await w.trip();
    expect(sheetText(sheetOf(state, w.clock.wallMs()))).toMatch(/Party of 3/);
    await w.say('mara', '/roster remove who:Jonas');
    await say('mara', '[Off the wall]');
    const after = (await w.trip()).state;
    expect(sheetText(sheetOf(after, w.clock.wallMs()))).toMatch(/Party of 2/);
  });

  it('somebody hurt leaves it only when the trouble is over', async () => {
    await say('greta', '/trouble report what:"fell" who:Ines');
    const asked = await w.say('mara', '/roster remove who:Ines where:out');
    expect(asked.refused).toBe(true);
    expect(text(asked)).toMatch(/in trouble as last told/);
    const { state } = await w.trip();
    const sheet = sheetText(sheetOf(state, w.clock.wallMs()));
    expect(sheet).toMatch(/TROUBLE\nA call-out is wanted\.\nInes \(hurt\): “fell”/);
    expect(sheet).toMatch(/Ines: condition hurt/);
  });
});

describe('of two troubles', () => {
  const told = () => w.told.filter((t) => t.to === 'Dana').map((t) => t.text);

  it('a word that names none ends none and puts nothing off; a button ends the one that is meant', async () => {
    await say('mara', '/trouble report what:"Ines hurt her hand" who:Ines wants:cope');
    await say('mara', '/trouble report what:"Jonas is very cold" who:Jonas wants:cope');
    await w.tick();
    const asked = await w.say('mara', '/trouble over said:"hand is fine"');
    expect([asked.refused, asked.code]).toEqual([true, 'ambiguous-name']);
    expect(text(asked)).toMatch(/^More than one trouble stands\. Which is meant\?/);
    const news = await w.say('mara', '/trouble update words:"warm soup"');
    expect(news.code).toBe('ambiguous-name');
    expect((await w.trip()).state.troubles.map((t) => [t.over, t.updates.length])).toEqual([
      [undefined, 0],
      [undefined, 0],
    ]);
    await say('mara', '/trouble update words:"warm soup" who:Jonas');
    const { length } = told();
    await w.say('mara', '/trouble over said:"hand is fine"');
    await say('mara', '[Ines: Ines hurt her hand]');
    expect((await w.trip()).state.troubles.map((t) => t.over?.said)).toEqual([
      'hand is fine',
      undefined,
    ]);
    await w.tick();
    // Who was told of it hears it, and that the other stands.
    const since = told().slice(length).join('\n');
    expect(since).toContain('Ines: well. “hand is fine” (told by Mara).');
    expect(since).toContain('An alarm stands all the same.');
    expect(since).not.toContain('The alarm is over');
    await say('mara', '/trouble over said:"Jonas is warm again"');
    await w.tick();
    expect(told().at(-1)).toContain('Jonas: well. “Jonas is warm again” (told by Mara).');
    expect(told().at(-1)).toContain('The alarm is over.');
  });
});

it('a later alarm, and its sheet, know of a trouble that was over', async () => {
  await say('mara', '/trouble report who:Ines what:"ankle twisted" wants:cope');
  w.at('2031-06-12 11:20');
  await say('greta', '/trouble update words:"hobbling on"');
  w.at('2031-06-12 12:40');
  await say('mara', '/trouble over said:"Ines walks by herself"');
  for (const time of ['18:00', '18:30', '20:05']) {
    w.at(`2031-06-13 ${time}`);
    await w.tick();
  }
  const dana = w.told.find((t) => t.to === 'Dana' && t.text.includes('are overdue'))?.text ?? '';
  expect(dana).toContain(
    'Since then Thu 12:40: the trouble was said to be over, “Ines walks by herself” (from Mara).',
  );
  const sheet = text(await say('dana', '/overdue sheet'));
  const heard = sheet.slice(sheet.indexOf('WHAT WAS HEARD'));
  expect(heard).toMatch(
    /Thu 11:00 {2}trouble: Ines: “ankle twisted” \(Mara\)\nThu 11:20 {2}of the trouble: “hobbling on” \(Greta\)\nThu 12:40 {2}the trouble is over: “Ines walks by herself” \(Mara\)/u,
  );
});
