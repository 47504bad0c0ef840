import { SCORED, UNSCORED } from './climbs/index.ts';
import { type Moment, play } from './play.ts';
import { HEAD, lineOf, table } from './report.ts';

const print = (line: string): void => void process.stdout.write(`${line}\n`);

/** Plays every published climb and prints how true the forecast was of it. */
async function main(): Promise<void> {
  const moments: Moment[] = [];
  print(HEAD);
  for (const climb of [...SCORED, ...UNSCORED]) {
    for (const m of await play(climb)) {
      print(lineOf(m));
      if (SCORED.includes(climb)) moments.push(m);
    }
  }
  for (const line of table(moments)) print(line);
}

await main();
