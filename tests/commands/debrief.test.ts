import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { pictures } from '../../src/page/picture/pictures.ts';
import { debriefOf } from '../../src/trip/debrief.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

async function play(lines: readonly (readonly [string, string])[]): Promise<void> {
  for (const [at, line] of lines) {
    w.at(at);
    const reply = await w.say('mara', line);
    expect(reply.refused, `${line}: ${text(reply)}`).toBeUndefined();
  }
}

/** Three pitches of eight with every time told, a night and a wait; worked out by hand beside each line. */
const MORNING = [
  ['2031-06-12 06:20', '/trip depart'],
  ['2031-06-12 07:00', '/pitch start number:1'], // approach 40
  ['2031-06-12 07:30', '/pitch fixed number:1'], // led 30
  ['2031-06-12 07:50', '/pitch done number:1'], // followed 20
  ['2031-06-12 08:00', '/pitch start number:2'], // changeover 10
  ['2031-06-12 09:00', '/pitch fixed number:2'], // led 60
  ['2031-06-12 09:25', '/pitch done number:2'], // followed 25
  ['2031-06-12 09:30', '/pitch break wait:10:30 why:other'], // waited 60 of the changeover's 70
  ['2031-06-12 10:35', '/pitch start number:3'],
  ['2031-06-12 11:35', '/pitch done number:3'], // took 60, no line told
] as const;

describe('/trip debrief', () => {
  it('has nothing to say before a pitch was told', async () => {
    const reply = await w.say('mara', '/trip debrief');
    expect(reply.code).toBe('nothing-told');
  });

  it('sums the time as it would be summed by hand, and leaves nothing out', async () => {
    await play(MORNING);
    const { state } = await w.trip();
    const made = debriefOf(state, w.clock.wallMs());
    expect(made?.pitches.slice(0, 3)).toMatchObject([
      { pitch: 1, leadMin: 30, followMin: 20, tookMin: 50, changeoverMin: 10 },
      { pitch: 2, leadMin: 60, followMin: 25, tookMin: 85, changeoverMin: 10 },
      { pitch: 3, tookMin: 60 },
    ]);
    expect(made?.spent).toEqual({
      approach: 40,
      leading: 90,
      following: 45,
      pitches: 60,
      changeovers: 20,
      lastRope: 0,
      nights: 0,
      waiting: 60,
      retreating: 0,
      wayDown: 0,
      untold: 0,
    });
    const whole = ((made?.toMs ?? 0) - (made?.fromMs ?? 0)) / 60_000;
    expect(Object.values(made?.spent ?? {}).reduce((a, b) => a + b, 0)).toBeCloseTo(whole, 6);
    // Pitch 2 ends at a hanging stance. Jonas, its leader, from 09:00 to 11:35 at most, Mara from 09:25,
    // Ines until she leads on at 10:35; each less the hour of waiting.
    expect(made?.hung).toEqual([
      { name: 'Jonas', min: 95, atMost: true },
      { name: 'Mara', min: 70, atMost: true },
      { name: 'Ines', min: 10, atMost: false },
    ]);
  });

  it('of a climb that turned back says from where, and has no rows for what was not climbed', async () => {
    await play([
      ['2031-06-12 06:20', '/trip depart'],
      ['2031-06-12 08:00', '/pitch done number:1'],
      ['2031-06-12 10:00', '/pitch done number:2'],
      ['2031-06-12 11:00', '/retreat begin'],
      ['2031-06-12 14:00', '/trip down'],
    ]);
    const reply = await w.say('mara', '/trip debrief');
    expect(text(reply)).toContain('turned back 11:00 from the stance after pitch 2, down 14:00');
    expect(reply.table?.rows.map((row) => row[0])).toEqual(['1', '2']);
  });

  it('says a stretch that was told in one go as a stretch', async () => {
    await play([
      ['2031-06-12 06:20', '/trip depart'],
      ['2031-06-12 07:00', '/pitch start number:1'],
      ['2031-06-12 08:00', '/pitch done number:1'],
    ]);
    w.at('2031-06-12 10:00');
    await w.say('mara', '/pitch done number:3');
    await play([['2031-06-12 10:00', '[2 as well, same time]']]);
    const { state } = await w.trip();
    expect(debriefOf(state, w.clock.wallMs())?.pitches[2]).toMatchObject({ from: 2, tookMin: 120 });
    const reply = await w.say('mara', '/trip debrief');
    expect(reply.table?.rows.map((r) => r[0])).toEqual(['1', '2–3']);
  });

  it('says what had been forecast from what was known then, whatever was mended later', async () => {
    await play([...MORNING, ['2031-06-12 12:00', '/trip down']]).catch(() => undefined);
    await w.say('mara', '[All are down]').catch(() => undefined);
    const before = text(await w.say('mara', '/trip debrief'));
    expect(before).toContain('At the departure: top-out ');
    expect(before).toMatch(/With 2 of 8 done, 09:25: top-out /u);
    w.at('2031-06-12 12:30');
    await w.say('mara', '/pitch amend number:2 at:09:10');
    const after = text(await w.say('mara', '/trip debrief'));
    const line = (t: string) => t.split('\n').find((l) => l.startsWith('With 2 of 8'));
    expect(line(after)).toBe(line(before));
  });

  it('comes with the picture of the whole climb where a chat shows pictures, after the trip is closed too', async () => {
    await w.close();
    w = await world({ pictures });
    await openDemo(w);
    await play(MORNING);
    await play([
      ['2031-06-12 12:00', '/retreat begin'],
      ['2031-06-12 13:30', '/trip down'],
      ['2031-06-12 14:00', '/trip close'],
    ]);
    const reply = await w.say('mara', '/trip debrief');
    const picture = reply.files?.find((f) => f.mime === 'image/png');
    expect(picture?.bytes.length).toBeGreaterThan(2000);
    expect(picture?.alt).toContain('Harrow Tower');
    expect(reply.files?.map((f) => f.mime).sort()).toEqual(['image/png', 'text/csv']);
  });

  it('gives the pitches as a file that begins no formula, and works after the trip is closed', async () => {
    await w.say('mara', '/roster edit who:Jonas name:"=HYPERLINK(1)"');
    await play(MORNING);
    await w.say('mara', '/trip close');
    await w.say('mara', '[Close all the same]').catch(() => undefined);
    const reply = await w.say('mara', '/trip debrief');
    const file = reply.files?.find((f) => f.mime === 'text/csv');
    const rows = new TextDecoder().decode(file?.bytes).split('\r\n');
    expect(rows[0]).toBe('pitch,leader,lead_min,follow_min,took_min,changeover_min,done,planned');
    expect(rows[2]).toMatch(/^2,"?'=HYPERLINK\(1\)"?,60,25,85,10,2031-06-12T07:25:00.000Z,/u);
  });
});
