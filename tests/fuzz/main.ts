/**
 * The long fuzz: `node .bench/tests/fuzz/main.js [commands] [seed]`. Fails when an answer is a fault of
 * ours or takes more than a second of the processor. A seed that isn't given is drawn, and printed.
 */
import { randomInt } from 'node:crypto';
import { fuzz } from './run.ts';

const ANSWER_MS = 1000;
const commands = Number(process.argv[2] ?? 5000);
const seed = Number(process.argv[3] ?? randomInt(1, 2 ** 31 - 1));
const said = (text: string) => void process.stdout.write(`${text}\n`);

said(`fuzz: ${commands} commands, seed ${seed}`);
const { faults, worst, ...counts } = await fuzz(commands, seed);
for (const fault of faults) said(JSON.stringify(fault));
said(
  `fuzz.commands = ${counts.commands}, ${counts.refused} refused, ${counts.presses} buttons pressed, ${faults.length} faults, worst ${worst.ms} ms (/${worst.path} ${worst.args}, ${worst.at})`,
);
if (faults.length > 0 || worst.ms > ANSWER_MS) process.exitCode = 1;
