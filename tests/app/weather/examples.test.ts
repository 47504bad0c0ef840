/** The weather services' own example answers, figure by figure, as they publish them. */
import { describe, expect, it } from 'vitest';
import { SERVICES } from '../../../src/app/weather/services.ts';
import { served } from './loopback.ts';

const HOUR_MS = 3_600_000;
/**
 * MET Norway, the example of Locationforecast 2.0 in its OpenAPI description
 * (api.met.no/weatherapi/locationforecast/2.0/swagger), shortened by what no field of ours is read from.
 */
const MET_EXAMPLE = {
  type: 'Feature',
  geometry: { type: 'Point', coordinates: [60.5, 11.59, 1001] },
  properties: {
    meta: {
      updated_at: '2019-12-03T13:52:13Z',
      units: { air_temperature: 'C', wind_speed: 'm/s', wind_speed_of_gust: 'm/s' },
    },
    timeseries: [
      {
        time: '2019-12-03T14:00:00Z',
        data: {
          instant: {
            details: {
              air_pressure_at_sea_level: 1017.23,
              air_temperature: 17.1,
              wind_from_direction: 121.3,
              wind_speed: 5.9,
              wind_speed_of_gust: 15.9,
            },
          },
          ...Object.fromEntries(
            ['next_1_hours', 'next_6_hours', 'next_12_hours'].map((span) => [
              span,
              {
                summary: { symbol_code: 'clearsky_day' },
                details: {
                  air_temperature_max: 17.1,
                  air_temperature_min: 11.1,
                  precipitation_amount: 1.71,
                  precipitation_amount_max: 4.32,
                  precipitation_amount_min: 4.32,
                  probability_of_precipitation: 37,
                  probability_of_thunder: 54.32,
                  ultraviolet_index_clear_sky_max: 1,
                },
              },
            ]),
          ),
        },
      },
    ],
  },
};

/**
 * The US National Weather Service, periods 1, 2, 5 and 9 of a recorded answer in its own repository
 * (github.com/weather-gov/weather.gov, tests/api/data/CedarRapids_TornadoFlood/gridpoints/DVN/30,86/forecast/hourly.json,
 * commit 911ccae); times there are offsets from the asking, here from `fromMs`.
 */
const NWS_PERIODS = [
  [81, 14, '20 mph', 'Partly Sunny'],
  [85, 15, '25 mph', 'Slight Chance Showers And Thunderstorms'],
  [82, 77, '25 mph', 'Occasional Showers And Thunderstorms'],
  [64, 4, '20 mph', 'Mostly Cloudy'],
] as const;

function nwsExample(fromMs: number) {
  const iso = (ms: number) => new Date(ms).toISOString().replace('.000Z', '+00:00');
  return {
    type: 'Feature',
    properties: {
      units: 'us',
      forecastGenerator: 'HourlyForecastGenerator',
      elevation: { unitCode: 'wmoUnit:m', value: 223.1136 },
      periods: NWS_PERIODS.map(([temperature, chance, windSpeed, shortForecast], i) => ({
        number: i + 1,
        name: '',
        startTime: iso(fromMs + i * HOUR_MS),
        endTime: iso(fromMs + (i + 1) * HOUR_MS),
        isDaytime: true,
        temperature,
        temperatureUnit: 'F',
        temperatureTrend: null,
        probabilityOfPrecipitation: { unitCode: 'wmoUnit:percent', value: chance },
        dewpoint: { unitCode: 'wmoUnit:degC', value: 18.88888888888889 },
        relativeHumidity: { unitCode: 'wmoUnit:percent', value: 60 },
        windSpeed,
        windDirection: 'S',
        icon: 'https://api.weather.gov/icons/land/day/bkn,14?size=small',
        shortForecast,
        detailedForecast: '',
      })),
    },
  };
}

describe('the services’ own example answers', () => {
  it('MET Norway: 5.9 m/s is 21.2 km/h, gusts of 15.9 are 57.2; rain 37 %, thunder 54.32 %', async () => {
    const path = '/weatherapi/locationforecast/2.0/complete';
    const { ask, host } = await served({ [path]: () => ({ body: JSON.stringify(MET_EXAMPLE) }) });
    const fromMs = Date.UTC(2019, 11, 3, 14);
    expect(await SERVICES['met-norway'].read(ask, host, { lat: 60.5, lon: 11.59 })).toEqual([
      {
        fromMs,
        toMs: fromMs + HOUR_MS,
        rain: 0.37,
        thunder: 0.543,
        tempC: 17.1,
        windKmh: 21.2,
        gustKmh: 57.2,
      },
    ]);
  });

  // By hand: (81 − 32) / 1.8 = 27.2, 85 is 29.4, 82 is 27.8, 64 is 17.8 °C; 20 mph × 1.609344 = 32.2, 25 mph = 40.2 km/h.
  it('US National Weather Service: Fahrenheit, miles, a thunderstorm in words, no gusts', async () => {
    const fromMs = Date.UTC(2024, 4, 21, 22);
    const grid = '/gridpoints/DVN/30,86/forecast/hourly';
    const server = await served({
      '/points/41.98,-91.67': () => ({
        body: JSON.stringify({
          properties: { gridId: 'DVN', gridX: 30, forecastHourly: `${server.host}${grid}` },
        }),
      }),
      [grid]: () => ({ body: JSON.stringify(nwsExample(fromMs)) }),
    });
    const spells = await SERVICES.nws.read(server.ask, server.host, { lat: 41.98, lon: -91.67 });
    expect(spells.map(({ fromMs: _from, toMs: _to, ...said }) => said)).toEqual([
      { rain: 0.14, tempC: 27.2, windKmh: 32.2 },
      { rain: 0.15, thunder: 0.15, tempC: 29.4, windKmh: 40.2 },
      { rain: 0.77, thunder: 0.77, tempC: 27.8, windKmh: 40.2 },
      { rain: 0.04, tempC: 17.8, windKmh: 32.2 },
    ]);
    expect(spells[0]?.fromMs).toBe(fromMs);
  });

  /**
   * open-meteo.com/en/docs, JSON Return Object: its hours, with the times as `timeformat=unixtime` gives them. It has the
   * temperature only: what isn't answered isn't told.
   */
  it('Open-Meteo: nine hours of temperature from 2022-07-01 00:00', async () => {
    const fromMs = Date.UTC(2022, 6, 1);
    const temperatures = [13, 12.7, 12.7, 12.5, 12.5, 12.8, 13, 12.9, 13.3];
    const body = JSON.stringify({
      latitude: 52.52,
      longitude: 13.419,
      elevation: 44.812,
      generationtime_ms: 2.2119,
      utc_offset_seconds: 0,
      timezone: 'Europe/Berlin',
      timezone_abbreviation: 'CEST',
      hourly: {
        time: temperatures.map((_, h) => fromMs / 1000 + 3600 * h),
        temperature_2m: temperatures,
      },
      hourly_units: { temperature_2m: '°C' },
    });
    const { ask, host } = await served({ '/v1/forecast': () => ({ body }) });
    const spells = await SERVICES['open-meteo'].read(ask, host, { lat: 52.52, lon: 13.41 });
    expect(spells.map(({ toMs, tempC }) => [toMs, tempC])).toEqual(
      temperatures.map((tempC, h) => [fromMs + h * HOUR_MS, tempC]),
    );
    expect(spells.every((s) => !('rain' in s) && !('windKmh' in s))).toBe(true);
  });
});
