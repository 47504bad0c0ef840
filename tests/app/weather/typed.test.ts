import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exampleIn, typedWeather } from '../../../src/app/weather/typed.ts';
import { Refusal } from '../../../src/say/refusal.ts';
import { instant, ZONE } from '../../helpers/world.ts';

const NOW = '2031-06-12 14:00';
const at = (local: string) => instant(ZONE, local);
const readAt = (now: string, text: string, units: 'm' | 'ft' = 'm') =>
  typedWeather(text, { zone: ZONE, units, nowMs: at(now) });
const span = (from: string, to: string) => ({ fromMs: at(from), toMs: at(to) });

describe('a forecast as people type it', () => {
  it.each([
    ['rain 50% 22:00–03:00', { rain: 0.5, ...span('2031-06-12 22:00', '2031-06-13 03:00') }],
    ['22-03 rain 50 %', { rain: 0.5, ...span('2031-06-12 22:00', '2031-06-13 03:00') }],
    [
      'showers 1 in 4 from 16:00 to 18:30',
      { rain: 0.25, ...span('2031-06-12 16:00', '2031-06-12 18:30') },
    ],
    ['rain tonight', { rain: 1, ...span('2031-06-12 20:00', '2031-06-13 06:00') }],
    ['snow 20% tomorrow morning', { rain: 0.2, ...span('2031-06-13 06:00', '2031-06-13 12:00') }],
    ['rain 30% sat', { rain: 0.3, ...span('2031-06-14 00:00', '2031-06-14 23:59') }],
    [
      'rain 80% fri 14:00 until 20:00',
      { rain: 0.8, ...span('2031-06-13 14:00', '2031-06-13 20:00') },
    ],
    ['rain 60% until 18:00', { rain: 0.6, ...span('2031-06-12 14:00', '2031-06-12 18:00') }],
    ['rain 10pm-3am', { rain: 1, ...span('2031-06-12 22:00', '2031-06-13 03:00') }],
    [
      'thunderstorms 20% 17:00-20:00',
      { thunder: 0.2, ...span('2031-06-12 17:00', '2031-06-12 20:00') },
    ],
    ['wind 40 km/h from 14:00', { windKmh: 40, ...span('2031-06-12 14:00', '2031-06-13 02:00') }],
    ['wind 12 m/s 18-22', { windKmh: 43, ...span('2031-06-12 18:00', '2031-06-12 22:00') }],
    [
      'gusts up to 30 knots 18-22',
      { gustKmh: 56, ...span('2031-06-12 18:00', '2031-06-12 22:00') },
    ],
    ['-2°C tonight', { tempC: -2, ...span('2031-06-12 20:00', '2031-06-13 06:00') }],
    ['cold 28F tonight', { tempC: -2.2, ...span('2031-06-12 20:00', '2031-06-13 06:00') }],
  ])('%s', (text, spell) => {
    expect(readAt(NOW, text)).toEqual([spell]);
  });

  it('what has begun already began today, not tomorrow', () => {
    expect(readAt('2031-06-12 13:00', 'rain 50% 12:00–15:00')).toEqual([
      { rain: 0.5, ...span('2031-06-12 12:00', '2031-06-12 15:00') },
    ]);
    expect(readAt('2031-06-12 23:30', 'rain 50% 22:00–03:00')).toEqual([
      { rain: 0.5, ...span('2031-06-12 22:00', '2031-06-13 03:00') },
    ]);
    expect(readAt('2031-06-13 01:00', 'rain 50% 22:00–03:00')).toEqual([
      { rain: 0.5, ...span('2031-06-12 22:00', '2031-06-13 03:00') },
    ]);
  });

  it('what is told without an end began just now rather than tomorrow', () => {
    expect(readAt('2031-06-12 14:30', 'wind 40 km/h from 14:00')).toEqual([
      { windKmh: 40, ...span('2031-06-12 14:00', '2031-06-13 02:00') },
    ]);
    expect(readAt('2031-06-12 14:30', 'wind 40 km/h from 08:00')).toEqual([
      { windKmh: 40, ...span('2031-06-13 08:00', '2031-06-13 20:00') },
    ]);
    expect(readAt('2031-06-12 14:30', 'wind 40 km/h from fri 14:00')).toEqual([
      { windKmh: 40, ...span('2031-06-13 14:00', '2031-06-14 02:00') },
    ]);
  });

  it('takes several, and the example it gives', () => {
    expect(readAt(NOW, exampleIn('m'))).toHaveLength(3);
    expect(readAt(NOW, exampleIn('ft'))).toHaveLength(3);
    expect(readAt(NOW, 'rain 20% 14-18; rain 60% 18-24:00 and wind 30 mph 18-22').at(-1)).toEqual({
      windKmh: 48,
      ...span('2031-06-12 18:00', '2031-06-12 22:00'),
    });
  });

  it.each([
    ['lovely', 'is it rain, thunder, wind, gusts or a temperature?'],
    ['rain 120% 10-12', 'from 0 to 100 %'],
    ['rain 3 in 2 10-12', 'from 0 to 100 %'],
    ['wind from 14:00', 'how much wind?'],
    ['cold tonight', 'how warm?'],
    ['rain 50%', 'when?'],
    ['rain 50% at teatime', 'is no time of a clock'],
    ['rain 50% 25:00-26:00', 'is no time of a clock'],
    ['wind 999 km/h tonight', 'no wind blows like that'],
    [',', 'no forecast'],
  ])('%s is refused with an example', (text, why) => {
    try {
      readAt(NOW, text);
      expect.unreachable();
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      const lines = error.lines.join('\n');
      expect(lines).toContain(why);
      expect(lines).toContain(exampleIn('m'));
    }
  });

  it('whatever is typed is read or refused kindly, and ends after it begins', () => {
    const word = fc.constantFrom(
      ...['rain', 'wind', '50%', '22:00', '-', '03', 'from', 'until', 'tonight', '40 km/h', 'fri'],
      ...['°C', '-5', '\u2013', ',', 'and', '1 in 2', '999', 'gusts', '2031-06-13', 'now', '+2h'],
    );
    fc.assert(
      fc.property(
        fc.array(fc.oneof(word, fc.string({ maxLength: 6 })), { maxLength: 8 }),
        (words) => {
          try {
            for (const spell of readAt(NOW, words.join(' '))) {
              expect(spell.toMs).toBeGreaterThan(spell.fromMs);
              expect(spell.toMs).toBeGreaterThan(at(NOW));
            }
          } catch (error) {
            if (!(error instanceof Refusal)) throw error;
          }
        },
      ),
      { numRuns: 2000 },
    );
  });
});
