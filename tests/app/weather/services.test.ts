import { describe, expect, it } from 'vitest';
import { SERVICES } from '../../../src/app/weather/services.ts';
import { AGENT, MET_ANSWER, nwsPeriod, openMeteoAnswer, served } from './loopback.ts';

const PLACE = { lat: 62.1, lon: 6.9 };
const HOUR_MS = 3_600_000;
describe('services of open data, by their published forms', () => {
  it('Open-Meteo: an hour’s chance is that of the hour before its time', async () => {
    const fromMs = Date.UTC(2031, 5, 12, 12);
    const body = openMeteoAnswer(fromMs, [20, null, 75]);
    const { ask, host, asked } = await served({ '/v1/forecast': () => ({ body }) });
    const spells = await SERVICES['open-meteo'].read(ask, host, PLACE);
    expect(spells).toEqual([
      {
        fromMs: fromMs - HOUR_MS,
        toMs: fromMs,
        rain: 0.2,
        tempC: 13,
        windKmh: 14.4,
        gustKmh: 31.5,
      },
      { fromMs, toMs: fromMs + HOUR_MS, tempC: 13.1, windKmh: 14.4, gustKmh: 31.5 },
      {
        fromMs: fromMs + HOUR_MS,
        toMs: fromMs + 2 * HOUR_MS,
        rain: 0.75,
        thunder: 0.75,
        tempC: 13.2,
        windKmh: 14.4,
        gustKmh: 31.5,
      },
    ]);
    expect(asked[0]?.agent).toBe(AGENT);
    expect(Object.fromEntries(asked[0]?.query ?? [])).toMatchObject({
      latitude: '62.1',
      longitude: '6.9',
      timeformat: 'unixtime',
      wind_speed_unit: 'kmh',
    });
  });

  it('the US National Weather Service: the point names its grid, in miles and Fahrenheit', async () => {
    const grid = '/gridpoints/TOP/31,80/forecast/hourly';
    const server = await served({
      '/points/62.1,6.9': () => ({
        body: JSON.stringify({
          properties: { gridId: 'TOP', forecastHourly: `${server.host}${grid}` },
        }),
      }),
      [grid]: () => ({
        body: JSON.stringify({
          properties: {
            periods: [
              nwsPeriod('2023-09-25T09:00:00-05:00', '2023-09-25T10:00:00-05:00'),
              nwsPeriod('2023-09-25T10:00:00-05:00', '2023-09-25T11:00:00-05:00', {
                probabilityOfPrecipitation: { unitCode: 'wmoUnit:percent', value: null },
                shortForecast: 'Sunny',
                windGust: { unitCode: 'wmoUnit:km_h-1', value: 50 },
              }),
            ],
          },
        }),
      }),
    });
    const spells = await SERVICES.nws.read(server.ask, server.host, PLACE);
    const fromMs = Date.UTC(2023, 8, 25, 14);
    expect(spells).toEqual([
      { fromMs, toMs: fromMs + HOUR_MS, rain: 0.3, thunder: 0.3, tempC: 18.9, windKmh: 16.1 },
      {
        fromMs: fromMs + HOUR_MS,
        toMs: fromMs + 2 * HOUR_MS,
        tempC: 18.9,
        windKmh: 16.1,
        gustKmh: 50,
      },
    ]);
    expect(server.asked.map((a) => a.agent)).toEqual([AGENT, AGENT]);
  });

  it('MET Norway: an hour first, then six, amounts where no chance is told', async () => {
    const path = '/weatherapi/locationforecast/2.0/complete';
    const { ask, host } = await served({ [path]: () => ({ body: MET_ANSWER }) });
    const fromMs = Date.UTC(2020, 5, 10, 12);
    expect(await SERVICES['met-norway'].read(ask, host, PLACE)).toEqual([
      {
        fromMs,
        toMs: fromMs + HOUR_MS,
        rain: 0.416,
        thunder: 0.543,
        tempC: 17.1,
        windKmh: 21.2,
        gustKmh: 36,
      },
      { fromMs: fromMs + HOUR_MS, toMs: fromMs + 7 * HOUR_MS, rain: 1, tempC: 16 },
    ]);
  });
});

describe('what a service may not do', () => {
  it.each([
    ['answers with an error', { status: 503, body: '{"error":true,"reason":"over"}' }, /503/],
    ['answers with no JSON', { body: '<html>' }, /JSON|token/],
    ['answers with another form', { body: '{"hourly":{"time":"now"}}' }, /./],
    ['answers without end', { body: `"${'x'.repeat(2_100_000)}"` }, /too large/],
  ])('%s', async (_, answer, why) => {
    const { ask, host } = await served({ '/v1/forecast': () => answer });
    await expect(SERVICES['open-meteo'].read(ask, host, PLACE)).rejects.toThrow(why);
  });

  it('send the question to another host', async () => {
    const { ask, host, asked } = await served({
      '/points/62.1,6.9': () => ({
        body: JSON.stringify({ properties: { forecastHourly: 'http://127.0.0.1:1/elsewhere' } }),
      }),
    });
    await expect(SERVICES.nws.read(ask, host, PLACE)).rejects.toThrow('another host');
    expect(asked).toHaveLength(1);
  });
});
