/** Somebody with bad intent attaches a file in a channel of their own, while the demo party's time runs out. */
import type { Reading } from '../../src/app/reading.ts';
import type { Reply } from '../../src/say/reply.ts';
import { ask } from '../commands/ask.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { type Held, held } from './turns.ts';

/** A command after the file: its path and options. */
export type Step = readonly [path: string, options: Record<string, string>];

/** What is attached, and what is asked of it afterwards. */
export interface Attachment {
  path: string;
  option: string;
  content: string | Uint8Array;
  next?: readonly Step[];
  /** The command opens the trip itself. */
  opened?: boolean;
}

/** What came of it. */
export interface Attached extends Held {
  answers: Reply[];
  /** How many messages about the demo party's broken promise went out meanwhile. */
  alarms: number;
}

const MALLORY = { user: 'mallory', name: 'Mallory' };
let channels = 0;

/** A world in which the demo party is out; files are read here unless by a `reading` of another kind. */
export async function threatened(reading?: Reading): Promise<World> {
  const w = await world(reading === undefined ? {} : { around: () => ({ reading }) });
  await openDemo(w);
  await w.say('mara', '/trip depart');
  // Code is compiled when it first runs; what is measured is the work.
  await w.say('mara', '/topout');
  await held(async () => ask(w, { channel: 'warm' }, 'help'));
  return w;
}

export async function attach(w: World, what: Attachment): Promise<Attached> {
  const { path, option, content, next = [], opened = false } = what;
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  const from = { ...MALLORY, channel: `hostile-${++channels}` };
  if (!opened) await ask(w, from, 'trip open', { name: 'x', zone: 'Europe/Oslo' });
  const file = {
    name: 'file',
    size: bytes.length,
    bytes: async (most: number) => {
      if (bytes.length > most) throw new Error(`${bytes.length} bytes, where ${most} are read`);
      return bytes;
    },
  };
  const told = await promise(w);
  const { value, ...cost } = await held(async () => {
    const answers: Reply[] = [];
    const all = (async () => {
      answers.push(await ask(w, from, path, { [option]: file }));
      for (const [step, options] of next) {
        const who = step === 'shuttle next' ? { user: 'stray', channel: from.channel } : from;
        answers.push(await ask(w, who, step, options));
      }
    })();
    w.clock.advance(91 * 60_000);
    await w.watch.tick();
    await all;
    await w.watch.tick();
    return answers;
  });
  const alarms = w.told.slice(told).filter(({ text: words }) => words.includes('Harrow Tower'));
  return { answers: value, alarms: alarms.length, ...cost };
}

/** The demo party promises a word in an hour and a half, under a name of its own. */
async function promise(w: World): Promise<number> {
  await w.say('mara', '/checkin ok');
  const set = await w.say('mara', `/checkin plan once:+90m about:"word ${channels}"`);
  if (set.refused !== undefined) throw new Error(text(set));
  await w.tick();
  return w.told.length;
}
