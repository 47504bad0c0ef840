import { createServer, type IncomingMessage } from 'node:http';
import type { AddressInfo } from 'node:net';
import { onTestFinished } from 'vitest';
import { askOf } from '../../../src/app/weather/ask.ts';
import { systemClock } from '../../../src/system/clock.ts';

/** How we say to a service who asks. */
export const AGENT = 'tagline (watch@example.org)';

/** What a stand-in of a service answers by path. */
export type Answers = Record<
  string,
  (request: IncomingMessage) => { status?: number; body: string }
>;

/** A service on this machine that answers as it is told to, and keeps what it was asked. */
export async function loopback(answers: Answers) {
  const asked: { path: string; query: URLSearchParams; agent: string | undefined }[] = [];
  const server = createServer((request, response) => {
    const url = new URL(request.url ?? '/', 'http://127.0.0.1');
    asked.push({
      path: url.pathname,
      query: url.searchParams,
      agent: request.headers['user-agent'],
    });
    const { status = 200, body } = answers[url.pathname]?.(request) ?? { status: 404, body: '{}' };
    response.writeHead(status, { 'content-type': 'application/json' }).end(body);
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const host = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  const close = () =>
    new Promise<void>((done) => {
      server.closeAllConnections();
      server.close(() => done());
    });
  return { host, asked, close };
}

/** The same until the test ends, with what asks it. */
export async function served(answers: Answers) {
  const server = await loopback(answers);
  onTestFinished(server.close);
  const ended = new AbortController().signal;
  return { ...server, ask: askOf(server.host, AGENT, systemClock(), ended) };
}

/** Open-Meteo's answer as its documentation shows it (open-meteo.com/en/docs, JSON Return Object), with the hours given. */
export function openMeteoAnswer(fromMs: number, chances: readonly (number | null)[]): string {
  return JSON.stringify({
    latitude: 52.52,
    longitude: 13.419998,
    generationtime_ms: 0.105,
    utc_offset_seconds: 0,
    timezone: 'GMT',
    timezone_abbreviation: 'GMT',
    elevation: 38,
    hourly_units: {
      time: 'unixtime',
      temperature_2m: '°C',
      precipitation_probability: '%',
      weather_code: 'wmo code',
      wind_speed_10m: 'km/h',
      wind_gusts_10m: 'km/h',
    },
    hourly: {
      time: chances.map((_, h) => fromMs / 1000 + 3600 * h),
      temperature_2m: chances.map((_, h) => 13 + h / 10),
      precipitation_probability: chances,
      weather_code: chances.map((c) => (c !== null && c >= 60 ? 95 : 3)),
      wind_speed_10m: chances.map(() => 14.4),
      wind_gusts_10m: chances.map(() => 31.5),
    },
  });
}

/** A period as api.weather.gov/openapi.json has it (GridpointHourlyForecastPeriod). */
export const nwsPeriod = (startTime: string, endTime: string, over: object = {}) => ({
  number: 1,
  name: '',
  startTime,
  endTime,
  isDaytime: true,
  temperature: 66,
  temperatureUnit: 'F',
  temperatureTrend: null,
  probabilityOfPrecipitation: { unitCode: 'wmoUnit:percent', value: 30 },
  dewpoint: { unitCode: 'wmoUnit:degC', value: 15 },
  relativeHumidity: { unitCode: 'wmoUnit:percent', value: 100 },
  windSpeed: '5 to 10 mph',
  windDirection: 'WNW',
  icon: '',
  shortForecast: 'Chance Showers And Thunderstorms',
  detailedForecast: '',
  ...over,
});

/** MET Norway's answer in the form of api.met.no/doc/ForecastJSON, two hours and a stretch of six. */
export const MET_ANSWER = JSON.stringify({
  type: 'Feature',
  geometry: { type: 'Point', coordinates: [10, 60.1, 267] },
  properties: {
    meta: {
      updated_at: '2020-06-10T13:04:26Z',
      units: {
        air_temperature: 'celsius',
        precipitation_amount: 'mm',
        probability_of_precipitation: '%',
        probability_of_thunder: '%',
        wind_speed: 'm/s',
        wind_speed_of_gust: 'm/s',
      },
    },
    timeseries: [
      {
        time: '2020-06-10T12:00:00Z',
        data: {
          instant: { details: { air_temperature: 17.1, wind_speed: 5.9, wind_speed_of_gust: 10 } },
          next_1_hours: {
            summary: { symbol_code: 'rainshowers_day' },
            details: {
              precipitation_amount: 1.71,
              probability_of_precipitation: 41.6,
              probability_of_thunder: 54.3,
            },
          },
          next_6_hours: { summary: { symbol_code: 'rain' }, details: { precipitation_amount: 4 } },
        },
      },
      {
        time: '2020-06-10T13:00:00Z',
        data: {
          instant: { details: { air_temperature: 16 } },
          next_6_hours: {
            summary: { symbol_code: 'rain' },
            details: { precipitation_amount: 0.4 },
          },
        },
      },
      { time: '2020-06-20T18:00:00Z', data: { instant: { details: { air_temperature: 12 } } } },
    ],
  },
});
