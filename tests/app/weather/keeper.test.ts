import { afterEach, beforeEach, expect, it } from 'vitest';
import { REFRESH_MS, WeatherKeeper } from '../../../src/app/weather/keeper.ts';
import { SERVICES, type Service } from '../../../src/app/weather/services.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';
import { loopback, openMeteoAnswer } from './loopback.ts';

const HOUR_MS = 3_600_000;
let w: World;
let server: Awaited<ReturnType<typeof loopback>>;
let isDead = false;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  isDead = false;
  server = await loopback({
    '/v1/forecast': () => ({
      status: isDead ? 500 : 200,
      body: openMeteoAnswer(
        Math.floor(w.clock.wallMs() / HOUR_MS) * HOUR_MS,
        Array.from({ length: 120 }, (_, h) => (h > 8 && h < 12 ? 40 : 0)),
      ),
    }),
  });
});
afterEach(async () => {
  await server.close();
  await w.close();
});

const at = (service: Service): Service => ({ ...service, host: server.host });
const keeper = (services = [at(SERVICES['open-meteo'])]) =>
  new WeatherKeeper({ app: w.app, services, contact: 'watch@example.org' });
const signal = () => new AbortController().signal;
const later = (ms: number) => w.clock.set(w.clock.wallMs() + ms);
const warnings = () => w.logged.filter((line) => line.includes('does not answer'));

it('fetches for an open trip with a place, marks the age, and counts the rain', async () => {
  await keeper().look(signal());
  const shown = text(await w.say('mara', '/weather show'));
  expect(shown).toContain('Source: Open-Meteo, just fetched.');
  expect(shown).toMatch(/Rain, (?:up to )?\d\d %: \d\d:00–\d\d:00/u);
  expect(shown).toContain('On top before any rain: ');
  expect(server.asked[0]?.agent).toBe('tagline (watch@example.org)');
  later(2 * HOUR_MS);
  expect(text(await w.say('mara', '/weather show'))).toContain('Open-Meteo, 2 h old.');
  expect(text(await w.say('mara', '/log show'))).toContain('weather fetched from Open-Meteo');
});

it('asks again only when it is old, and not for a trip that is over', async () => {
  const kept = keeper();
  await kept.look(signal());
  later(REFRESH_MS - 60_000);
  await kept.look(signal());
  expect(server.asked).toHaveLength(1);
  later(120_000);
  await kept.look(signal());
  expect(server.asked).toHaveLength(2);
  await w.say('mara', '/trip close');
  later(REFRESH_MS);
  await kept.look(signal());
  expect(server.asked).toHaveLength(2);
});

it('a dead service is said once, the last answer stands with its age, the next service is asked', async () => {
  const kept = keeper();
  await kept.look(signal());
  isDead = true;
  for (let i = 0; i < 5; i++) {
    later(REFRESH_MS);
    await kept.look(signal());
  }
  expect(warnings()).toHaveLength(1);
  expect(text(await w.say('mara', '/weather show'))).toContain('15 h old, no newer answer since.');
  isDead = false;
  later(2 * HOUR_MS);
  await kept.look(signal());
  expect(text(await w.say('mara', '/weather show'))).toContain('just fetched');
  expect(w.logged.some((line) => line.includes('answers again'))).toBe(true);
  const gone: Service = { ...SERVICES.nws, host: server.host };
  later(REFRESH_MS);
  await keeper([gone, at(SERVICES['open-meteo'])]).look(signal());
  expect(text(await w.say('mara', '/weather show'))).toContain('Open-Meteo, just fetched');
});

it('what was typed goes before it', async () => {
  await w.say('greta', '/weather set text:"rain 80% 12:00-20:00"');
  await keeper().look(signal());
  expect(text(await w.say('mara', '/weather show'))).toContain('told 06:10 by Greta');
  await w.say('greta', '/weather set text:none');
  expect(text(await w.say('mara', '/weather show'))).toContain('Open-Meteo');
});

it('ASVS V14.2.3: asks nothing without a place, and rounds the place that goes out', async () => {
  await w.say('mara', '/trip edit lat:62.123456 lon:6.987654');
  await keeper().look(signal());
  expect(server.asked[0]?.query.get('latitude')).toBe('62.12');
  expect(server.asked[0]?.query.get('longitude')).toBe('6.99');
});
