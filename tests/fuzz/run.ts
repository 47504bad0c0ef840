/** Every option of every command, in every stage of a trip, by everybody, with what people type and what nobody does. */
import type { Call, RawArgs, RawValue } from '../../src/app/command.ts';
import { dispatch } from '../../src/app/dispatch.ts';
import { MAIN_CHANNEL } from '../../src/chat/local/speaker.ts';
import type { Reply } from '../../src/say/reply.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { Draws, valueFor } from './values.ts';

/** What was asked, so that it can be asked again. */
interface Asked {
  at: string;
  who: string;
  path: string;
  args: string;
}

/** What came of it. */
export interface Fuzzed {
  commands: number;
  refused: number;
  presses: number;
  /** Answers that are a fault of ours. */
  faults: (Asked & { answer: string })[];
  /** The most processor time that one answer took, milliseconds: that of a busy machine is no more. */
  worst: Asked & { ms: number };
}

/** How a party comes to each stage. */
const STAGES: readonly (readonly [string, readonly string[]])[] = [
  ['nothing', []],
  ['open', ['mallory /trip open name:x zone:Europe/Oslo']],
  ['ready', ['demo']],
  [
    'climbing',
    [
      'demo',
      'mara /trip depart',
      'mara /pitch start',
      'mara /checkin plan down:20:00 callout:23:00',
    ],
  ],
  [
    'overdue',
    ['demo', 'mara /trip depart', 'mara /checkin plan down:08:00 callout:09:00', 'later'],
  ],
  [
    'trouble',
    ['demo', 'mara /trip depart', 'mara /trouble report what:"broken leg" wants:callout'],
  ],
  ['down', ['demo', 'mara /trip depart', 'mara /trip down', 'mara [Yes, everyone is down]']],
  ['closed', ['demo', 'mara /trip close']],
];
const SPEAKERS = ['mara', 'jonas', 'greta', 'dana', 'mallory', 'stray'];
/** A world is begun anew after so many: what was typed before may have ended the trip. */
const COMMANDS_A_WORLD = 40;

export async function fuzz(commands: number, seed: number): Promise<Fuzzed> {
  const draws = new Draws(seed);
  const nothing = { at: '', who: '', path: '', args: '', ms: 0 };
  const out: Fuzzed = { commands: 0, refused: 0, presses: 0, faults: [], worst: nothing };
  for (let n = 0; out.commands < commands; n++) {
    const [stage, lines] = STAGES[n % STAGES.length] as (typeof STAGES)[number];
    const w = await world();
    try {
      await prepare(w, lines);
      for (let i = 0; i < COMMANDS_A_WORLD && out.commands < commands; i++) {
        await one(w, stage, draws, out);
      }
    } finally {
      await w.close();
    }
  }
  return out;
}

async function prepare(w: World, lines: readonly string[]): Promise<void> {
  for (const line of lines) {
    if (line === 'demo') await openDemo(w);
    else if (line === 'later') {
      w.at('2031-06-12 14:00');
      await w.tick();
    } else {
      const [who = '', ...rest] = line.split(' ');
      await w.say(who, rest.join(' '));
    }
  }
}

async function one(w: World, stage: string, draws: Draws, out: Fuzzed): Promise<void> {
  const command = draws.of(w.app.commands);
  const subs = Object.entries(command.subs ?? {});
  const [name, sub] = command.bare === undefined ? draws.of(subs) : ['', command.bare];
  const path = `${command.name} ${name}`.trim();
  const args: Record<string, RawValue> = {};
  for (const [option, def] of Object.entries(sub.options)) {
    const wanted = def.required === true ? 0.98 : 0.3;
    if (draws.next() < wanted) args[option] = valueFor(def, draws);
  }
  const who = draws.of(SPEAKERS);
  const reply = await asked(w, { stage, who, path, args }, out);
  // What is offered is pressed now and then, by whoever sees it.
  const offered = reply.buttons ?? [];
  if (offered.length > 0 && draws.next() < 0.5) {
    const { press } = draws.of(offered);
    const pressed = { ...press.options } as Record<string, RawValue>;
    out.presses += 1;
    await asked(w, { stage, who, path: press.path, args: pressed }, out);
  }
  if (draws.next() < 0.05) {
    w.clock.advance(draws.of([1, 30, 600]) * 60_000);
    await w.tick();
  }
}

async function asked(
  w: World,
  { stage, who, path, args }: { stage: string; who: string; path: string; args: RawArgs },
  out: Fuzzed,
): Promise<Reply> {
  const call: Call = {
    id: w.app.ids.event(),
    atMs: w.clock.wallMs(),
    actor: { id: `local:${who}`, name: who },
    where: { channel: MAIN_CHANNEL, direct: false },
  };
  const before = process.cpuUsage();
  const reply = await dispatch(w.app, call, path, args);
  const used = process.cpuUsage(before);
  const ms = Math.round((used.user + used.system) / 1000);
  const said: Asked = { at: stage, who, path, args: short(args) };
  out.commands += 1;
  if (reply.refused) out.refused += 1;
  if (ms > out.worst.ms) out.worst = { ...said, ms };
  if (reply.code === 'fault' || /undefined|NaN|\[object/.test(text(reply))) {
    out.faults.push({ ...said, answer: text(reply).slice(0, 300) });
  }
  return reply;
}

const short = (args: RawArgs) =>
  JSON.stringify(args, (_, value: unknown) =>
    typeof value === 'string' && value.length > 60
      ? `${value.slice(0, 57)}… (${value.length})`
      : typeof value === 'number' && !Number.isFinite(value)
        ? String(value)
        : value,
  );
