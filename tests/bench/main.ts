/**
 * `npm run bench`: one line a figure, `name = value unit`, with what it is held against. All in one
 * process and one run, because machines differ. `npm run bench -- forecast store` runs some of them.
 */
import { benchAcks } from './acks.ts';
import { benchAnswers } from './answers.ts';
import { benchAtOnce } from './at-once.ts';
import { benchDelivery } from './delivery.ts';
import { benchDiscord } from './discord.ts';
import { benchForecast } from './forecast.ts';
import { benchGtfs } from './gtfs.ts';
import { benchHostile } from './hostile.ts';
import { benchOrder } from './order.ts';
import { benchPage } from './page.ts';
import { benchPostgres } from './postgres.ts';
import { benchRecord } from './record.ts';
import { benchStore, type Figure } from './store.ts';
import { benchWatch } from './watch.ts';

/** Four digits: more would only be noise. */
function rounded(value: number): string {
  return Number.isInteger(value) ? String(value) : String(Number(value.toPrecision(4)));
}

const BENCHES: Readonly<Record<string, () => AsyncGenerator<Figure>>> = {
  forecast: benchForecast,
  answers: benchAnswers,
  'at-once': benchAtOnce,
  acks: benchAcks,
  record: benchRecord,
  store: benchStore,
  postgres: benchPostgres,
  order: benchOrder,
  gtfs: benchGtfs,
  hostile: benchHostile,
  page: benchPage,
  discord: benchDiscord,
  delivery: benchDelivery,
  watch: benchWatch,
};

const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !(name in BENCHES));
if (unknown.length > 0) {
  process.stderr.write(
    `No bench named ${unknown.join(', ')}. There is: ${Object.keys(BENCHES).join(', ')}.\n`,
  );
  process.exit(1);
}

for (const [name, bench] of Object.entries(BENCHES)) {
  if (wanted.length > 0 && !wanted.includes(name)) continue;
  process.stdout.write(`# ${name}\n`);
  for await (const { name: figure, value, unit, against } of bench()) {
    const held = against === undefined ? '' : `  (against ${against})`;
    process.stdout.write(`${figure} = ${rounded(value)} ${unit}${held}\n`);
  }
}
