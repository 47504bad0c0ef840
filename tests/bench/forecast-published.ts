import { resolveSettings } from '../../src/forecast/defaults.ts';
import { forecast } from '../../src/forecast/forecast.ts';
import type { ForecastInput, ForecastPitch } from '../../src/forecast/model.ts';
import { haulMPerMin, pitchMedianMin } from '../../src/forecast/stages.ts';
import { at, days, trip } from '../forecast/fixture.ts';
import type { Figure } from './order.ts';

const pitch = (over: Partial<ForecastPitch> = {}): ForecastPitch => ({
  number: 1,
  lengthM: 35,
  mode: 'free',
  leader: 0,
  stance: 'ledge',
  bivy: { kind: 'ledge' },
  ...over,
});

const route = (count: number, over: Partial<ForecastPitch>): ForecastPitch[] =>
  Array.from({ length: count }, (_, i) => pitch({ ...over, number: i + 1, leader: i % 2 }));

function median(p: ForecastPitch, over: Partial<ForecastInput> = {}): number {
  return pitchMedianMin(p, trip({ haulBag: false, ...over }), resolveSettings({}));
}

/** Hours from the start to the top, median, 10 and 90 % quantile. */
function hours(over: Partial<ForecastInput>): { q10: number; q50: number; q90: number } {
  const { topout } = forecast(trip({ ascents: 4000, days: days(12), ...over }));
  const h = (ms: number): number => (ms - at(0, 7)) / 3_600_000;
  return { q10: h(topout.q10), q50: h(topout.q50), q90: h(topout.q90) };
}

/**
 * The defaults against published timings, as they come out; nothing was fitted beyond what the rows
 * of defaults say. Sources are named beside each figure.
 */
export async function* benchPublished(): AsyncGenerator<Figure> {
  const easy = median(pitch({ gapSteps: -4 }));
  yield {
    name: 'published_free_pitch_at_ease',
    value: easy,
    unit: 'min',
    against:
      '45, guide’s time plan (rockriverrun.blogspot.com 2013/06); the default is made from it',
  };
  yield {
    name: 'published_free_pitch_at_limit',
    value: median(pitch({ gapSteps: 0 })),
    unit: 'min',
    against: 'about 60, range 10–120 (mountainproject 111957034)',
  };
  const c2 = median(pitch({ mode: 'aid', aidGrade: 2, lengthM: 30 }), { haulBag: true });
  yield {
    name: 'published_c2_pitch_30_m',
    value: c2,
    unit: 'min',
    against: '163 a pitch on a nine-pitch, 270 m C2 route (one record)',
  };
  yield {
    name: 'published_a3_pitch_40_m',
    value: median(pitch({ mode: 'aid', aidGrade: 3, lengthM: 40 }), { haulBag: true }),
    unit: 'min',
    against: '120–300 for A2+ and harder (mtntools.com)',
  };
  yield {
    name: 'published_haul_150_kg_61_m',
    value: 61 / haulMPerMin(150, resolveSettings({})) / 60,
    unit: 'h',
    against: 'about 3 (oppositeandopposed.blogspot.com 2011/05); the default is made from it',
  };
  const three = { haulBag: false, pitches: route(3, {}) };
  yield {
    name: 'published_three_pitches_party_of_three',
    value: hours({ ...three, partySize: 3 }).q50,
    unit: 'h',
    against: 'about 3 (shortguysbetaworks.com)',
  };
  yield {
    name: 'published_third_costs',
    value: hours({ ...three, partySize: 3 }).q50 / hours(three).q50,
    unit: '×',
    against: '“almost as fast as two” (rockandice.com, M. Volken)',
  };
  const wall = hours({ pitches: route(9, { mode: 'aid', aidGrade: 2, lengthM: 30 }) });
  for (const [name, h] of Object.entries(wall)) {
    yield {
      name: `published_nine_aid_pitches_270_m_${name}`,
      value: Math.ceil(h / 24),
      unit: 'days',
      against: '2–4 for most teams (trip reports)',
    };
  }
  yield {
    name: 'published_two_pitches_from_noon',
    value: 12 + hours({ pitches: route(2, { mode: 'aid', aidGrade: 2, lengthM: 30 }) }).q50,
    unit: 'o’clock',
    against: 'noon arrival, two pitches (60 m) fixed that day (trip reports)',
  };
}
