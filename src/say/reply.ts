import type { OptionOf, Path, Press, PressOf } from './press.ts';
import type { RefusalCode } from './refusal-codes.ts';

/**
 * What a command answers, without knowing who shows it. Each chat turns it into its own form, so a
 * reply holds plain text only: the chat escapes all of it, and nobody is pinged who isn't in `pings`.
 * A reply is JSON (files apart), because the answer to a change is stored with the change and given
 * again when the same interaction is delivered twice.
 */

/** An instant written in the wall's local time; a chat may add its own timestamp markup from `atMs`. */
export interface InstantPiece {
  text: string;
  atMs: number;
}

/** A person who may be pinged when they are in `pings`; shown by name otherwise. */
export interface PersonPiece {
  text: string;
  userId: string;
}

/** Something to type or to copy, such as a command. */
export interface CodePiece {
  code: string;
}

/** A part of a line: plain text, or something that a chat may show in its own way. */
export type Piece = string | InstantPiece | PersonPiece | CodePiece;
/** One line of an answer. */
export type Line = string | readonly Piece[];

/** Shown in fixed width. Keep the whole under about 44 columns, the width of a phone. */
export interface Table {
  head: readonly string[];
  rows: readonly (readonly string[])[];
  align?: readonly ('left' | 'right')[];
  /** Columns of durations as h:min, which no clock shows. */
  durations?: readonly number[];
}

/** One line of typing asked for before the press is carried out; fills the option `name`. */
export interface AskField<Name extends string = string> {
  name: Name;
  /** At most 45 characters. */
  label: string;
  placeholder?: string;
  value?: string;
}

/** A form of one to five fields, opened before the press is carried out. */
export interface Form<Name extends string = string> {
  title: string;
  fields: readonly AskField<Name>[];
}

interface Face {
  /** At most 80 characters; unique within a reply. */
  label: string;
  tone?: 'plain' | 'main' | 'danger';
}

/** Runs its press when it is pressed. A form asks for options that the pressed command has. */
export type Button =
  | (Face & { press: Press; ask?: never })
  | { [P in Path]: Face & { press: PressOf<P>; ask: Form<OptionOf<P>> } }[Path];

/** A way out to a page; a chat that can makes it something to tap. The address also stands in a line. */
export interface LinkOut {
  label: string;
  url: string;
}

/** A file that goes with an answer. */
export interface FileOut {
  name: string;
  mime: string;
  bytes: Uint8Array;
  /** What a picture shows, for those who can't see it. */
  alt?: string;
}

/** How much a card asks of whoever sees it; its words say the same. */
export type CardTone = 'calm' | 'heed' | 'alarm';

/** The answer to a command. */
export interface Reply {
  /** The first line is the answer; then why; then what can be done about it. */
  lines: readonly Line[];
  table?: Table;
  /** Lines below the table. */
  after?: readonly Line[];
  buttons?: readonly Button[];
  links?: readonly LinkOut[];
  files?: readonly FileOut[];
  /**
   * Framed as one card, with its pictures and buttons, where the chat can do that. Not for what must be
   * read on a lock screen: a chat may show nothing of a card there.
   */
  card?: CardTone;
  /** The trip its buttons belong to, wherever they are pressed; found out by the chat when left out. */
  trip?: string;
  /** Seen by the asker only, where the chat can do that. */
  private?: boolean;
  /** Users this reply may ping. */
  pings?: readonly string[];
  /** True when nothing was done because a rule refused it; scripts count these. */
  refused?: boolean;
  /** The kind of reason, when it was refused. */
  code?: RefusalCode;
}
