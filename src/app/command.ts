import type { RateName } from '../limits.ts';
import type { Call } from '../record/call.ts';
import type { Reply } from '../say/reply.ts';
import type { App } from './app.ts';

export type { Call };

export interface UserArg {
  id: string;
  name: string;
}

/** An attached file; `bytes` fetches it and rejects with a Refusal when it is over `maxBytes`. */
export interface FileArg {
  name: string;
  size: number;
  bytes(maxBytes: number): Promise<Uint8Array>;
}

export interface Choice {
  name: string;
  value: string | number;
}

/** Answers while the person types; at most 25 choices, each name and value at most 100 characters. */
export type Suggest = (call: Call, typed: string, app: App, others: RawArgs) => Promise<Choice[]>;

interface OptionBase {
  /** 1–100 characters. */
  description: string;
  required?: boolean;
  /** Not offered to people: only our own buttons set it (a confirmation, an entry of the log). */
  hidden?: boolean;
  /** An older name: still taken where somebody types it, for one release. */
  old?: boolean;
}

export type OptionDef =
  | (OptionBase & {
      type: 'string';
      minLength?: number;
      maxLength?: number;
      choices?: readonly Choice[];
      suggest?: Suggest;
      /** What is suggested is all that can be meant: a form offers it and asks for no typing. */
      closed?: boolean;
    })
  | (OptionBase & {
      type: 'integer' | 'number';
      min?: number;
      max?: number;
      choices?: readonly Choice[];
      suggest?: Suggest;
    })
  | (OptionBase & { type: 'boolean' | 'user' | 'file' });

export type Options = Readonly<Record<string, OptionDef>>;

export type RawValue = string | number | boolean | UserArg | FileArg;
export type RawArgs = Readonly<Record<string, RawValue | undefined>>;

type ValueOf<D extends OptionDef> = D extends {
  choices: readonly { readonly value: infer V }[];
}
  ? V
  : D['type'] extends 'string'
    ? string
    : D['type'] extends 'integer' | 'number'
      ? number
      : D['type'] extends 'boolean'
        ? boolean
        : D['type'] extends 'user'
          ? UserArg
          : FileArg;

/** What `run` gets: an option's choices or its type, undefined when it was left out. */
export type Args<O extends Options> = {
  [K in keyof O]: O[K] extends { required: true } ? ValueOf<O[K]> : ValueOf<O[K]> | undefined;
};

/**
 * Who may run it. `anyone` needs no trip; `look` needs one but no place on its roster; `act` needs
 * a place on the roster (or to have opened the trip); `post` one as climber or ground crew, because
 * contacts act on alarms and don't edit the wall; `opener` is for whoever opened the trip.
 */
export type Access = 'anyone' | 'look' | 'act' | 'post' | 'opener';

export interface Sub<O extends Options = Options> {
  description: string;
  options: O;
  access: Access;
  /**
   * What it counts as besides a command, for the rates; `vital` for what a life may hang on: it has a rate of its own.
   */
  counts?: readonly RateName[] | 'vital';
  /** The server's managers may do it too, on trips of their server. */
  managers?: true;
  /** The answer is for the asker only. Known beforehand, because it can't change once deferred. */
  private?: boolean;
  run(call: Call, args: Args<O>, app: App): Promise<Reply>;
}

/** A command has either subcommands or itself one action (`bare`). */
export interface Command {
  /** Lower case, 1–32 characters. */
  name: string;
  description: string;
  bare?: Sub;
  subs?: Readonly<Record<string, Sub>>;
}

/** Keeps the option types of one subcommand while the registry holds them all alike. */
export function sub<const O extends Options>(def: Sub<O>): Sub {
  return def as unknown as Sub;
}

/** `pitch done` → its Sub, in a list of commands. */
export function findSub(commands: readonly Command[], path: string): Sub | undefined {
  const [name, child] = path.split(' ');
  const command = commands.find((c) => c.name === name);
  return child === undefined ? command?.bare : command?.subs?.[child];
}
