import type { App } from '../../app/app.ts';
import { type Call, findSub, type RawValue, type UserArg } from '../../app/command.ts';
import { dispatch } from '../../app/dispatch.ts';
import type { AskField, Button, Form, Reply } from '../../say/reply.ts';
import { tripOf, zoneOfTrip } from '../trip-of.ts';
import { typedValue } from '../typed-value.ts';
import { localFile } from './local-file.ts';
import { parseCommand, Unreadable } from './parse-command.ts';
import { MAIN_CHANNEL } from './speaker.ts';
import { splitWords, type Word } from './words.ts';

/** Something that appeared: an answer to what somebody typed, or a notice that nobody asked for. */
export type Entry =
  | { kind: 'answer'; atMs: number; who: UserArg; said: string; reply: Reply; trip?: string }
  | {
      kind: 'notice';
      atMs: number;
      zone?: string;
      to: string;
      by: string;
      reply: Reply;
      trip?: string;
    };

export interface Notice {
  reply: Reply;
  trip?: string;
  /** Undefined for the channel. */
  person?: UserArg;
  /** How it goes out, in a word or two: `channel`, `direct message`, `e-mail`. */
  by: string;
}

export interface Speech {
  /** Where `file:` is looked for. */
  folder: string;
  /** Asks the person for one line of a form; without it, what isn't given is an error. */
  askField?: (title: string, field: AskField) => Promise<string>;
}

interface Shown {
  buttons: readonly Button[];
  trip: string | undefined;
  /** Undefined when everybody sees it. */
  onlyFor: string | undefined;
}

/** Messages whose buttons can still be pressed. */
const KEPT_MAX = 500;

/**
 * The one channel of a terminal: several people may speak in it by turns. Commands run through
 * dispatch as in any other chat.
 */
export class LocalChannel {
  readonly #app: App;
  readonly #shown: Shown[] = [];
  readonly #listen: (entry: Entry) => void;

  constructor(app: App, listen: (entry: Entry) => void) {
    this.#app = app;
    this.#listen = listen;
  }

  /**
   * `/command …` or `[Button] field:value …`.
   *
   * @throws Unreadable
   */
  async say(who: UserArg, said: string, speech: Speech): Promise<Reply> {
    const text = said.trim();
    if (text.startsWith('[')) return this.#press(who, text, speech);
    if (!text.startsWith('/')) {
      throw new Unreadable(
        'A line begins with / for a command, or with a button such as [Undo].',
        '/help leads the way.',
      );
    }
    const parsed = await parseCommand(this.#app.commands, wordsOf(text), speech.folder);
    return this.#run({ who, said: text, trip: undefined, ...parsed });
  }

  /** Shows something that nobody asked for. */
  async notify(notice: Notice): Promise<void> {
    const { reply, trip, person, by } = notice;
    const zone = trip === undefined ? undefined : await zoneOfTrip(this.#app, trip);
    this.#keep({ buttons: reply.buttons ?? [], trip, onlyFor: person?.id });
    const to = person?.name ?? 'the channel';
    const when = { atMs: this.#app.clock.wallMs(), ...(zone === undefined ? {} : { zone }) };
    this.#listen({
      kind: 'notice',
      ...when,
      to,
      by,
      reply,
      ...(trip === undefined ? {} : { trip }),
    });
  }

  /** Labels this person could press now, the newest message's first. */
  labels(who: UserArg): string[] {
    const labels = this.#visible(who).flatMap((m) => m.buttons.map((b) => b.label));
    return [...new Set(labels)];
  }

  #visible(who: UserArg): Shown[] {
    return this.#shown.filter((m) => m.onlyFor === undefined || m.onlyFor === who.id).reverse();
  }

  async #press(who: UserArg, text: string, speech: Speech): Promise<Reply> {
    const [, label, rest = ''] = /^\[([^\]]+)\](.*)$/su.exec(text) ?? [];
    if (label === undefined) throw new Unreadable('A button is written [Label].');
    const want = label.trim().toLowerCase();
    const fits = (b: Button) => b.label.toLowerCase() === want;
    const message = this.#visible(who).find((m) => m.buttons.some(fits));
    const button = message?.buttons.find(fits);
    if (message === undefined || button === undefined) {
      const labels = this.labels(who).slice(0, 8);
      throw new Unreadable(
        `${who.name} sees no button [${label.trim()}].`,
        ...(labels.length === 0 ? [] : [`There is: ${labels.map((l) => `[${l}]`).join(' ')}`]),
      );
    }
    const typed = await fillForm(button, wordsOf(rest), speech);
    const { path, options } = button.press;
    const defs = findSub(this.#app.commands, path)?.options ?? {};
    const raw: Record<string, RawValue> = { ...options };
    for (const [name, value] of typed) {
      const def = defs[name];
      if (def?.type === 'file') {
        const file = await localFile(speech.folder, value);
        if (file === undefined) throw new Unreadable(`There is no file ${value} here.`);
        raw[name] = file;
        continue;
      }
      const read = def === undefined ? { ok: true as const, value } : typedValue(def, value);
      if (!read.ok) throw new Unreadable(`${name}: "${value}" is not ${read.problem}.`);
      raw[name] = read.value;
    }
    return this.#run({ who, said: text, trip: message.trip, path, raw });
  }

  async #run(what: {
    who: UserArg;
    said: string;
    trip: string | undefined;
    path: string;
    raw: Parameters<typeof dispatch>[3];
  }): Promise<Reply> {
    const call: Call = {
      id: this.#app.ids.event(),
      atMs: this.#app.clock.wallMs(),
      actor: what.who,
      where: { channel: MAIN_CHANNEL, direct: false },
      ...(what.trip === undefined ? {} : { trip: what.trip }),
    };
    const reply = await dispatch(this.#app, call, what.path, what.raw);
    const hidden =
      reply.private === true || findSub(this.#app.commands, what.path)?.private === true;
    const shown = hidden ? { ...reply, private: true } : reply;
    const trip = await tripOf(this.#app, call, reply);
    this.#keep({
      buttons: reply.buttons ?? [],
      trip,
      onlyFor: hidden ? what.who.id : undefined,
    });
    this.#listen({
      kind: 'answer',
      atMs: call.atMs,
      who: what.who,
      said: what.said,
      reply: shown,
      ...(trip === undefined ? {} : { trip }),
    });
    return shown;
  }

  #keep(message: Shown): void {
    this.#shown.push(message);
    if (this.#shown.length > KEPT_MAX) this.#shown.shift();
  }
}

function wordsOf(text: string): Word[] {
  const split = splitWords(text);
  if (!split.ok) throw new Unreadable(`This can't be read: ${split.problem}.`);
  return split.words;
}

/** What the form's fields say: given on the line, else asked for, else as they were filled in. */
async function fillForm(
  button: Button,
  words: readonly Word[],
  speech: Speech,
): Promise<[string, string][]> {
  const { title, fields }: Form = button.ask ?? { title: '', fields: [] };
  const names = fields.map((f) => f.name);
  const stray = words.find((w) => w.name === undefined || !names.includes(w.name));
  if (stray !== undefined) {
    throw new Unreadable(
      names.length === 0
        ? `[${button.label}] asks for nothing.`
        : `[${button.label}] asks for ${names.map((n) => `${n}:`).join(', ')}`,
    );
  }
  const filled: [string, string][] = [];
  for (const field of fields) {
    const given = words.find((w) => w.name === field.name)?.value;
    const value = given ?? (await speech.askField?.(title, field)) ?? field.value;
    if (value === undefined) {
      throw new Unreadable(
        `[${button.label}] asks for ${field.label}: write [${button.label}] ${field.name}:"…"`,
      );
    }
    if (value.trim() !== '') filled.push([field.name, value]);
  }
  return filled;
}
