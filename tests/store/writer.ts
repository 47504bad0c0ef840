/**
 * A process of its own that writes to a store until it is killed or done; run compiled.
 * Arguments: path of the file, name of the writer, how many posts.
 * Prints a line for each acknowledged post, after the acknowledgement and never before.
 */
import { writeSync } from 'node:fs';
import { openSqliteStore } from '../../src/store/sqlite/store.ts';
import { append, DAWN_MS, notice, open } from './posts.ts';

const [path = '', writer = '', posts = '0'] = process.argv.slice(2);
const store = openSqliteStore({ path });
const trip = `t-${writer}`;

/** One post with a deadline and a notice of its own: all three are there, or none. */
function post(seq: number) {
  const deadlines = [{ key: 'down', dueAtMs: DAWN_MS + seq, data: seq }];
  return append(trip, seq, { deadlines, notices: [notice(trip, `${trip}-n${seq + 1}`)] });
}

await open(store, trip, post(0));
let seq = (await store.trip(trip))?.seq ?? 0;
writeSync(1, `open ${seq}\n`);
for (let n = 0; n < Number(posts); n += 8) {
  const results = await Promise.all([...Array(8).keys()].map((i) => store.append(post(seq + i))));
  for (const result of results) {
    if (!result.ok) throw new Error(`${trip} ${seq}: ${result.why}`);
    seq = result.seq;
    writeSync(1, `ack ${seq}\n`);
  }
}
await store.close();
writeSync(1, 'done 0\n');
