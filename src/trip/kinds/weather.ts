import { z } from 'zod';
import { LIMITS } from '../../limits.ts';
import type { Author } from '../fact.ts';
import { instant } from './instant.ts';
import type { Kind } from './kind.ts';

/** A forecast by the hour for ten days has as many spells, and one that was typed a handful. */
const SPELLS = 250;

const chance = z.number().min(0).max(1);
const spell = z
  .strictObject({
    fromMs: instant,
    toMs: instant,
    rain: chance.optional(),
    thunder: chance.optional(),
    windKmh: z.number().min(0).max(400).optional(),
    gustKmh: z.number().min(0).max(500).optional(),
    tempC: z.number().min(-90).max(60).optional(),
  })
  .refine((s) => s.toMs > s.fromMs, 'ends before it begins');

/** Where weather comes from: typed by somebody, or fetched from a service of open data. */
export const WEATHER_SOURCES = ['typed', 'open-meteo', 'nws', 'met-norway'] as const;

const told = z.strictObject({
  from: z.enum(WEATHER_SOURCES),
  /** As it was typed. */
  text: z.string().trim().min(1).max(LIMITS.noteLength).optional(),
  /** Where whoever typed it has it from: the hut's notice, the radio at 18:00. */
  says: z.string().trim().min(1).max(LIMITS.noteLength).optional(),
  spells: z.array(spell).max(SPELLS),
});

/**
 * What is told of the weather between two instants, epoch milliseconds: the chance that it rains then (where it does,
 * all through it) and that it thunders, 0–1; mean wind and gusts, km/h; air temperature, °C.
 */
export interface WeatherSpell extends z.infer<typeof spell> {}

/** A forecast of the weather as it was told last: by whom, and when. */
export interface Weather extends z.infer<typeof told> {
  atMs: number;
  by: Author;
  seq: number;
}

/** The weather that is told for the time ahead. Rain that falls is told by `/rain`. */
export const weatherKinds: { 'weather.told': Kind<z.infer<typeof told>> } = {
  'weather.told': {
    order: 'told',
    alive: false,
    strike: 'may',
    private: false,
    vital: false,
    data: told,
    fold(state, { atMs, by, seq, data }) {
      const weather = { ...data, atMs, by, seq };
      if (data.from === 'typed') state.weather.typed = weather;
      else state.weather.fetched = weather;
    },
    say: ({ from, text, spells }) => {
      if (spells.length === 0) return 'the weather that was told no longer holds';
      const told = text === undefined ? '' : `: “${text}”`;
      return from === 'typed'
        ? `weather told${told}`
        : `weather fetched from ${SOURCE_NAMES[from]}`;
    },
  },
};

/** What the sources are called. */
export const SOURCE_NAMES: Readonly<Record<Weather['from'], string>> = {
  typed: 'typed',
  'open-meteo': 'Open-Meteo',
  nws: 'the US National Weather Service',
  'met-norway': 'MET Norway',
};
