import { mustPost } from '../record/membership.ts';
import { look } from '../record/trips.ts';
import { UnreadableRecord, unreadableLines } from '../record/unreadable.ts';
import { inHours } from '../say/hours.ts';
import { Refusal } from '../say/refusal.ts';
import type { Reply } from '../say/reply.ts';
import { StoreError } from '../store/port.ts';
import type { App } from './app.ts';
import {
  type Call,
  findSub,
  type OptionDef,
  type RawArgs,
  type RawValue,
  type Sub,
} from './command.ts';
import { withAlarm } from './proof-of-life.ts';
import { inTheirWords, wordsOfCaller } from './toward.ts';

/**
 * Runs one command for one call and always comes back with a reply: the answer, a refusal with its
 * way out, or (for a fault of ours) a reference that stands in the log beside the error. A refusal's
 * code stands in the log too; its words don't, because they may name somebody.
 */
export async function dispatch(app: App, call: Call, path: string, raw: RawArgs): Promise<Reply> {
  try {
    const { sub, args } = checked(app, path, raw);
    const asked = { ...call, manager: await manages(app, call, sub) };
    if (sub.access === 'post') await mayPost(app, asked, raw);
    const reply = await byItsClock(app, call, await sub.run(asked, args, app));
    return await withAlarm(app, call, reply);
  } catch (error) {
    if (error instanceof Refusal) {
      // A path that isn't a command is somebody's own words.
      const known = findSub(app.commands, path) === undefined ? {} : { path };
      app.log.info({ code: error.code, ...known }, 'refused');
      const reply = inTheirWords(await wordsOfCaller(app, call), error.reply());
      return withAlarm(app, call, await byItsClock(app, call, reply));
    }
    // It stands in the log already, by the trip's id.
    if (error instanceof UnreadableRecord) {
      return new Refusal('unreadable-record', unreadableLines(error)).reply();
    }
    const reference = app.ids.reference();
    app.log.error({ err: error, reference, path }, 'command failed');
    const reply: Reply = {
      lines: faultWords(error, reference),
      private: true,
      refused: true,
      code: 'fault',
    };
    return inTheirWords(await wordsOfCaller(app, call), reply);
  }
}

/** The answer by the clock of its trip, where it has one that can be read. */
async function byItsClock(app: App, call: Call, reply: Reply): Promise<Reply> {
  try {
    const id = reply.trip ?? call.trip;
    const row =
      id === undefined ? await app.store.openTripIn(call.where.channel) : await app.store.trip(id);
    if (row === undefined || row.seq === 0) return reply;
    return inHours(reply, (await app.records.read(row)).state.settings.hours);
  } catch {
    // What keeps a trip from being read is said by whoever needs it.
    return reply;
  }
}

/** Whether the call is a manager's, for something managers may do, about no trip of another server. */
async function manages(app: App, call: Call, { managers }: Sub): Promise<boolean> {
  if (managers !== true || call.manager !== true) return false;
  if (call.trip === undefined) return true;
  return (await app.store.trip(call.trip))?.guild === call.where.guild;
}

/** @throws Refusal for who may not post the wall, before anything is worked out for them */
async function mayPost(app: App, call: Call, raw: RawArgs): Promise<void> {
  const { state } = await look(app, call);
  mustPost(state, call, typeof raw.entry === 'number' ? raw.entry : undefined);
}

/**
 * The command behind a path, and its options as its `run` takes them.
 *
 * @throws Refusal for a path that isn't there, or options that don't fit
 */
function checked(app: App, path: string, raw: RawArgs): { sub: Sub; args: never } {
  const sub = findSub(app.commands, path);
  if (sub === undefined) {
    throw new Refusal('no-such-command', `There is no /${path}. /help leads the way.`);
  }
  const problems = Object.entries(sub.options).flatMap(([name, def]) => {
    const problem = problemWith(def, raw[name]);
    return problem === undefined ? [] : [`${name}: ${problem}`];
  });
  const strays = Object.keys(raw).filter((name) => !Object.hasOwn(sub.options, name));
  problems.push(...strays.map((name) => `${name}: not an option of /${path}`));
  if (problems.length > 0) {
    throw new Refusal('unreadable-options', [`/${path} could not be read.`, ...problems]);
  }
  return { sub, args: raw as never };
}

const STORE_FAULTS: Partial<Record<StoreError['code'], string>> = {
  STORE_FULL: 'the disk is full',
  STORE_READ_ONLY: 'its file is read-only',
  STORE_BUSY: 'somebody else holds its file',
  STORE_REWRITING: 'its file is being written anew, because something was erased',
  STORE_CLOSED: 'the bot is stopping',
};

/** A fault of ours, with the reference that stands in the log; the store's own, in its own words. */
function faultWords(error: unknown, reference: string): string[] {
  if (error instanceof StoreError) {
    if (error.code === 'STORE_IO') {
      return [
        `The disk failed while this was written; it may or may not be in the record. Reference ${reference}.`,
        'Look in /log show before you post it again. Tell whoever runs this bot the reference.',
      ];
    }
    const why = STORE_FAULTS[error.code] ?? 'its file is in trouble';
    return [
      `The record can't be written now: ${why}. Nothing was changed. Reference ${reference}.`,
      'Keep it on paper and post it again later. Tell whoever runs this bot the reference.',
    ];
  }
  return [
    `Something went wrong on our side; nothing was changed. Reference ${reference}.`,
    'Try it once more. If it fails again, tell whoever runs this bot the reference.',
  ];
}

/** What is wrong with a value, in a few words; undefined when it may pass. */
function problemWith(def: OptionDef, value: RawValue | undefined): string | undefined {
  if (value === undefined) return def.required === true ? 'is needed' : undefined;
  switch (def.type) {
    case 'string':
      return stringProblem(def, value);
    case 'integer':
    case 'number':
      return numberProblem(def, value);
    case 'boolean':
      return typeof value === 'boolean' ? undefined : 'yes or no';
    case 'user':
      return typeof value === 'object' && 'id' in value ? undefined : 'a person';
    case 'file':
      return typeof value === 'object' && 'bytes' in value ? undefined : 'a file';
  }
}

function stringProblem(
  def: Extract<OptionDef, { type: 'string' }>,
  value: RawValue,
): string | undefined {
  if (typeof value !== 'string') return 'some text';
  if (def.choices !== undefined && !def.choices.some((c) => c.value === value)) {
    return `one of ${def.choices.map((c) => c.value).join(', ')}`;
  }
  const longest = def.maxLength ?? 1000;
  if (value.length > longest) return `at most ${longest} characters, this has ${value.length}`;
  if (value.trim().length < (def.minLength ?? 1)) return 'is empty';
  return undefined;
}

function numberProblem(
  def: Extract<OptionDef, { type: 'integer' | 'number' }>,
  value: RawValue,
): string | undefined {
  if (typeof value !== 'number' || !Number.isFinite(value)) return 'a number';
  if (def.type === 'integer' && !Number.isInteger(value)) return 'a whole number';
  if (def.min !== undefined && value < def.min) return `${def.min} or more`;
  if (def.max !== undefined && value > def.max) return `${def.max} or less`;
  if (def.choices !== undefined && !def.choices.some((c) => c.value === value)) {
    return `one of ${def.choices.map((c) => c.value).join(', ')}`;
  }
  return undefined;
}
