import type { KINDS } from './kinds/index.ts';
import type { Kind } from './kinds/kind.ts';

/** Who told it: an account of the chat, or a part of the bot. */
export interface Author {
  id: string;
  name: string;
}

/** Begins the id of whoever told an entry that came from a file. No account of any chat is called so. */
export const IMPORTED = 'imported:';

/**
 * An author as an imported entry keeps them: by name, as text. The id is no account's any more, so that nobody
 * is let in, blamed or believed by it; and the name says it wherever it is shown.
 */
export function importedAuthor({ id, name }: Author): Author {
  const plain = name.replace(/(, imported)+$/, '').slice(0, 80);
  return { id: id.startsWith(IMPORTED) ? id : IMPORTED + id, name: `${plain}, imported` };
}

/** The id of an author as it was where the entry was told first. */
export function idWhereTold({ id }: Author): string {
  return id.startsWith(IMPORTED) ? id.slice(IMPORTED.length) : id;
}

/** What every fact carries, whatever its kind. */
export interface FactHead {
  trip: string;
  /** 1, 2, 3… within the trip: the number people see in the log. */
  seq: number;
  /** Unique within the trip; strikes and amendments name it. */
  id: string;
  /** When it happened on the wall, epoch milliseconds. */
  atMs: number;
  /** When it was told, epoch milliseconds. */
  recordedAtMs: number;
  by: Author;
  /** The time as the person typed it, kept so that a changed zone rule can be redone. */
  typed?: string;
}

type Kinds = typeof KINDS;

/** The name of a kind: `pitch.done`. A misspelt one doesn't compile. */
export type KindName = keyof Kinds;

/** What a fact of one kind says. */
export type DataOf<K extends KindName> = Kinds[K] extends Kind<infer D> ? D : never;

/** A fact of one kind. */
export type FactOf<K extends KindName> = {
  [N in K]: FactHead & { kind: N; data: DataOf<N> };
}[K];

/** One change, as it stands in a trip's record. Nothing is deleted: a wrong post is struck by another fact. */
export type Fact = FactOf<KindName>;

/** A fact to be: who told it, when, and its ids are filled in when it is recorded. */
export type DraftOf<K extends KindName> = {
  [N in K]: {
    kind: N;
    data: DataOf<N>;
    /** When it happened; when it is recorded, if left out. */
    atMs?: number;
    /** The time as typed. */
    typed?: string;
  };
}[K];
/** A fact to be, of any kind. */
export type Draft = DraftOf<KindName>;

/** A fact as the store or a file gives it: its kind and its data are not checked yet. */
export interface RawFact extends FactHead {
  kind: string;
  data: unknown;
}
