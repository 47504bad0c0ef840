import { SCORED, UNSCORED } from './climbs/index.ts';
import { fitted, fitWithout, ratiosOf } from './fit.ts';
import { type Moment, play } from './play.ts';
import { HEAD, lineOf, table } from './report.ts';
import { synthetic } from './synthetic.ts';

const print = (line: string): void => void process.stdout.write(`${line}\n`);

/**
 * Plays every published climb and prints how true the forecast was of it. What is fitted to climbs is fitted anew for
 * each, without any climb of its party. With `as-is` the figures are those that ship; with `unclassed` nobody says how
 * fast the party is; `name=value` sets a figure of `/trip pace` to try what it does.
 * `synthetic 5000` forecasts as many climbs drawn from the model instead.
 */
async function main(): Promise<void> {
  const at = process.argv.indexOf('synthetic');
  if (at > 0) {
    for (const line of synthetic(Number(process.argv[at + 1] ?? 5000))) print(line);
    return;
  }
  const asIs = process.argv.includes('as-is');
  const classed = !process.argv.includes('unclassed');
  const tried = Object.fromEntries(
    process.argv.flatMap((arg) => {
      const [, name, value] = /^(\w+)=([\d.]+)$/.exec(arg) ?? [];
      return name === undefined ? [] : [[name, Number(value)]];
    }),
  );
  const ratios = await ratiosOf(SCORED, tried);
  for (const { climb, logRatio } of ratios) {
    print(
      `${climb.id.padEnd(26)} ${climb.class.padEnd(9)} ${climb.kind} ratio ${Math.exp(logRatio).toFixed(2)}`,
    );
  }
  print(`fitted to all: ${JSON.stringify(fitted(ratios))}`);
  const moments: Moment[] = [];
  print(HEAD);
  for (const climb of [...SCORED, ...UNSCORED]) {
    const figures = { ...(asIs ? {} : fitWithout(ratios, climb.party)), ...tried };
    for (const m of await play(climb, { classed, figures })) {
      print(lineOf(m));
      if (SCORED.includes(climb)) moments.push(m);
    }
  }
  for (const line of table(moments)) print(line);
}

await main();
