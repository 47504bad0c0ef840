/**
 * What a button runs, checked by the compiler against the commands themselves.
 *
 * Each subcommand's file adds its path and its options to `Paths` by declaration merging, so this
 * folder needs to know no command. A press of a path that doesn't exist, or of an option that its
 * command hasn't got, doesn't compile.
 */

/** Options by path: `'pitch done': typeof options`. Filled in by the commands' own files. */
// biome-ignore lint/suspicious/noEmptyInterface: it is filled in by declaration merging.
export interface Paths {}

/** `pitch done`, `topout`: every command that can be run. */
export type Path = keyof Paths;

interface Choosable {
  readonly type: string;
  readonly choices?: readonly { readonly value: string | number }[];
}

/** The value of one option as a button carries it; never for what a button can't carry (users, files). */
type PressValue<D extends Choosable> = D extends {
  readonly choices: readonly { readonly value: infer V }[];
}
  ? V
  : D['type'] extends 'string'
    ? string
    : D['type'] extends 'integer' | 'number'
      ? number
      : D['type'] extends 'boolean'
        ? boolean
        : never;

/** Options of a press. None is required here: a form may ask for the rest before it is run. */
type PressOptions<O> = keyof O extends never
  ? Readonly<Record<string, never>>
  : { readonly [K in keyof O]?: O[K] extends Choosable ? PressValue<O[K]> : never };

/** What a button may carry for one command. */
export type OptionsOf<P extends Path> = PressOptions<Paths[P]>;

/** One command to run as if typed. */
export interface PressOf<P extends Path> {
  readonly path: P;
  readonly options: PressOptions<Paths[P]>;
}

/** Any command to run as if typed. */
export type Press = { [P in Path]: PressOf<P> }[Path];

/** The options of a command by their names: what a form may ask for. */
export type OptionOf<P extends Path> = keyof Paths[P] & string;

/** A press as it comes back from a chat: not checked yet. */
export interface RawPress {
  path: string;
  options: Readonly<Record<string, string | number | boolean>>;
}
