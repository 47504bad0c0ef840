import { z } from 'zod';
import type { Weather, WeatherSpell } from '../../trip/kinds/weather.ts';

/** Asks an address for JSON. Rejects without an answer, with one too large, and from another host than asked. */
export type AskJson = (url: string) => Promise<unknown>;

/** A place, degrees, as a service is told it. */
export interface Place {
  lat: number;
  lon: number;
}

/** A service of open weather data. */
export interface Service {
  name: Exclude<Weather['from'], 'typed'>;
  /** Its own host; nothing else is asked. */
  host: string;
  /** Spells by the hour from its answer; rejects where it has none for the place. */
  read(ask: AskJson, host: string, place: Place): Promise<WeatherSpell[]>;
}

const HOUR_MS = 3_600_000;
const share = (percent: number) => Math.round(Math.min(100, Math.max(0, percent)) * 10) / 1000;
const tenth = (value: number) => Math.round(value * 10) / 10;
const known = <T extends object>(fields: T): { [K in keyof T]: Exclude<T[K], null | undefined> } =>
  Object.fromEntries(
    Object.entries(fields).filter(([, v]) => v !== null && v !== undefined),
  ) as never;

const numbers = z.array(z.number().nullable()).max(400).optional();
const openMeteo = z.object({
  hourly: z.object({
    time: z.array(z.number()).max(400),
    temperature_2m: numbers,
    precipitation_probability: numbers,
    weather_code: numbers,
    wind_speed_10m: numbers,
    wind_gusts_10m: numbers,
  }),
});
const OPEN_METEO_FIELDS =
  'temperature_2m,precipitation_probability,weather_code,wind_speed_10m,wind_gusts_10m';
/** WMO code table 4677, as Open-Meteo uses it: 95, 96 and 99 are thunderstorms. */
const THUNDER_FROM = 95;

/**
 * Open-Meteo (open-meteo.com/en/docs): an hour's probability and gusts are those of the hour before its time,
 * temperature and mean wind those at it. Data under CC BY 4.0; free for non-commercial use.
 */
const OPEN_METEO: Service = {
  name: 'open-meteo',
  host: 'https://api.open-meteo.com',
  async read(ask, host, { lat, lon }) {
    const query = `latitude=${lat}&longitude=${lon}&hourly=${OPEN_METEO_FIELDS}`;
    const url = `${host}/v1/forecast?${query}&wind_speed_unit=kmh&timeformat=unixtime&forecast_days=5`;
    const { hourly } = openMeteo.parse(await ask(url));
    return hourly.time.map((second, i): WeatherSpell => {
      const atMs = second * 1000;
      const chance = hourly.precipitation_probability?.[i];
      const thunders = (hourly.weather_code?.[i] ?? 0) >= THUNDER_FROM;
      const rain = typeof chance === 'number' ? share(chance) : undefined;
      return {
        fromMs: atMs - HOUR_MS,
        toMs: atMs,
        ...known({
          rain,
          // The code says that it thunders, the probability how likely the hour is wet at all.
          thunder: thunders ? (rain ?? 1) : undefined,
          tempC: hourly.temperature_2m?.[i],
          windKmh: hourly.wind_speed_10m?.[i],
          gustKmh: hourly.wind_gusts_10m?.[i],
        }),
      };
    });
  },
};

const quantity = z.object({ unitCode: z.string().optional(), value: z.number().nullable() });
const nwsPoint = z.object({ properties: z.object({ forecastHourly: z.url() }) });
const nwsHourly = z.object({
  properties: z.object({
    periods: z
      .array(
        z.object({
          startTime: z.iso.datetime({ offset: true }),
          endTime: z.iso.datetime({ offset: true }),
          temperature: z.union([z.number(), quantity]).nullish(),
          temperatureUnit: z.string().nullish(),
          probabilityOfPrecipitation: quantity.nullish(),
          windSpeed: z.union([z.string().max(60), quantity]).nullish(),
          windGust: z.union([z.string().max(60), quantity]).nullish(),
          shortForecast: z.string().max(300).nullish(),
        }),
      )
      .max(400),
  }),
});
const KM_PER_MILE = 1.609344;

/** `5 to 10 mph`: the larger one, km/h; or a quantity with its unit. */
function nwsSpeed(said: string | z.infer<typeof quantity> | null | undefined): number | undefined {
  if (said === null || said === undefined) return undefined;
  if (typeof said !== 'string') {
    if (said.value === null) return undefined;
    return tenth(said.unitCode?.includes('m_s') === true ? said.value * 3.6 : said.value);
  }
  const all = [...said.matchAll(/\d+(?:\.\d+)?/gu)].map(([figure]) => Number(figure));
  if (all.length === 0) return undefined;
  return tenth(Math.max(...all) * (/km/u.test(said) ? 1 : KM_PER_MILE));
}

/**
 * The US National Weather Service (weather.gov/documentation/services-web-api): the point names its grid, the grid
 * has hourly periods. Data of the US government, free of rights; a User-Agent with a contact is asked for.
 */
const NWS: Service = {
  name: 'nws',
  host: 'https://api.weather.gov',
  async read(ask, host, { lat, lon }) {
    const point = nwsPoint.parse(await ask(`${host}/points/${lat},${lon}`));
    const { periods } = nwsHourly.parse(await ask(point.properties.forecastHourly)).properties;
    return periods.map((p): WeatherSpell => {
      const chance = p.probabilityOfPrecipitation?.value;
      const rain = typeof chance === 'number' ? share(chance) : undefined;
      const thunders = /\bthunder|\bt-?storm/iu.test(p.shortForecast ?? '');
      return {
        fromMs: Date.parse(p.startTime),
        toMs: Date.parse(p.endTime),
        ...known({
          rain,
          thunder: thunders ? (rain ?? 1) : undefined,
          tempC: nwsDegrees(p.temperature, p.temperatureUnit),
          windKmh: nwsSpeed(p.windSpeed),
          gustKmh: nwsSpeed(p.windGust),
        }),
      };
    });
  },
};

function nwsDegrees(
  said: number | z.infer<typeof quantity> | null | undefined,
  unit: string | null | undefined,
): number | undefined {
  const value = typeof said === 'number' ? said : said?.value;
  if (value === null || value === undefined) return undefined;
  const fahrenheit = typeof said === 'number' ? unit !== 'C' : said?.unitCode?.includes('degF');
  return tenth(fahrenheit === true ? (value - 32) / 1.8 : value);
}

const metDetails = z.object({
  probability_of_precipitation: z.number().optional(),
  probability_of_thunder: z.number().optional(),
  precipitation_amount: z.number().optional(),
});
const metNext = z.object({ details: metDetails.optional() }).optional();
const metNorway = z.object({
  properties: z.object({
    timeseries: z
      .array(
        z.object({
          time: z.iso.datetime({ offset: true }),
          data: z.object({
            instant: z.object({
              details: z
                .object({
                  air_temperature: z.number().optional(),
                  wind_speed: z.number().optional(),
                  wind_speed_of_gust: z.number().optional(),
                })
                .optional(),
            }),
            next_1_hours: metNext,
            next_6_hours: metNext,
          }),
        }),
      )
      .max(400),
  }),
});
const KMH_PER_MS = 3.6;

/**
 * MET Norway's Locationforecast 2.0, complete (api.met.no/doc/ForecastJSON): from each time on, an hour first, then
 * six. Data under NLOD 2.0 and CC BY 4.0; its terms ask for a User-Agent with a contact and for few decimals.
 */
const MET_NORWAY: Service = {
  name: 'met-norway',
  host: 'https://api.met.no',
  async read(ask, host, { lat, lon }) {
    const url = `${host}/weatherapi/locationforecast/2.0/complete?lat=${lat}&lon=${lon}`;
    const { timeseries } = metNorway.parse(await ask(url)).properties;
    return timeseries.flatMap(({ time, data }): WeatherSpell[] => {
      const fromMs = Date.parse(time);
      const hours = data.next_1_hours !== undefined ? 1 : 6;
      const next = (data.next_1_hours ?? data.next_6_hours)?.details;
      if (data.next_1_hours === undefined && data.next_6_hours === undefined) return [];
      const at = data.instant.details;
      const kmh = (ms: number | undefined) =>
        ms === undefined ? undefined : tenth(ms * KMH_PER_MS);
      const chance = next?.probability_of_precipitation;
      const falls = next?.precipitation_amount;
      return [
        {
          fromMs,
          toMs: fromMs + hours * HOUR_MS,
          ...known({
            // Outside the Nordic countries it tells amounts only.
            rain:
              chance !== undefined
                ? share(chance)
                : falls === undefined
                  ? undefined
                  : falls > 0
                    ? 1
                    : 0,
            thunder:
              next?.probability_of_thunder === undefined
                ? undefined
                : share(next.probability_of_thunder),
            tempC: at?.air_temperature,
            windKmh: kmh(at?.wind_speed),
            gustKmh: kmh(at?.wind_speed_of_gust),
          }),
        },
      ];
    });
  },
};

/** The services there are, by name. */
export const SERVICES = { 'open-meteo': OPEN_METEO, nws: NWS, 'met-norway': MET_NORWAY } as const;
