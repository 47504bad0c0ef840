import { SCORED, UNSCORED } from './climbs/index.ts';
import { fitted, fitWithout, ratiosOf } from './fit.ts';
import { type Moment, play } from './play.ts';
import { HEAD, lineOf, table } from './report.ts';

const print = (line: string): void => void process.stdout.write(`${line}\n`);

/**
 * Plays every published climb and prints how true the forecast was of it. What is fitted to climbs is fitted anew for
 * each, without any climb of its party. With `as-is` the figures are those that ship; with `unclassed` nobody says how
 * fast the party is.
 */
async function main(): Promise<void> {
  const asIs = process.argv.includes('as-is');
  const classed = !process.argv.includes('unclassed');
  const ratios = await ratiosOf(SCORED);
  for (const { climb, logRatio } of ratios) {
    print(
      `${climb.id.padEnd(26)} ${climb.class.padEnd(9)} ${climb.kind} ratio ${Math.exp(logRatio).toFixed(2)}`,
    );
  }
  print(`fitted to all: ${JSON.stringify(fitted(ratios))}`);
  const moments: Moment[] = [];
  print(HEAD);
  for (const climb of [...SCORED, ...UNSCORED]) {
    const figures = asIs ? {} : fitWithout(ratios, climb.party);
    for (const m of await play(climb, { classed, figures })) {
      print(lineOf(m));
      if (SCORED.includes(climb)) moments.push(m);
    }
  }
  for (const line of table(moments)) print(line);
}

await main();
