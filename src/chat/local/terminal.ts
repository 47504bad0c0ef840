import { join } from 'node:path';
import { clearLine, createInterface, cursorTo, type Interface } from 'node:readline';
import type { App } from '../../app/app.ts';
import type { UserArg } from '../../app/command.ts';
import type { AskField } from '../../say/reply.ts';
import { clock } from '../../time/format.ts';
import { type Entry, LocalChannel } from './channel.ts';
import { completions } from './complete.ts';
import { readHistory, writeHistory } from './history.ts';
import { filesFolder, keepFile, whyNot } from './kept-files.ts';
import { LineQueue } from './line-queue.ts';
import { Unreadable } from './parse-command.ts';
import { commandNear, meaning } from './plain-words.ts';
import { renderText, type TextStyle } from './render.ts';
import { MAIN_CHANNEL, speaker } from './speaker.ts';

export interface TerminalSettings {
  app: App;
  input: NodeJS.ReadableStream;
  output: NodeJS.WritableStream & { columns?: number; isTTY?: boolean };
  /** Keeps the history and the files that answers bring. */
  dataDir: string;
  /** Where a `file:` is looked for. */
  folder: string;
  /** Who speaks first. */
  speaker: string;
  /** The machine's own; times are told in the wall's, and its name stands there when the clocks differ. */
  zone: string;
  /** NO_COLOR as the environment has it: every value but the empty one turns bold type off. */
  noColor?: string | undefined;
}

const WIDTH_MAX = 80;

/** The local channel in a terminal, or fed from a pipe. `done` resolves when the person has left. */
export class Terminal {
  readonly channel: LocalChannel;
  readonly done: Promise<void>;
  readonly #settings: TerminalSettings;
  readonly #lines = new LineQueue();
  readonly #reader: Interface;
  readonly #tty: boolean;
  readonly #people = new Set<string>();
  #history: readonly string[];
  #historyFails = false;
  /** No more is typed; what was typed before is still answered. */
  #left = false;
  readonly #deaf: () => void;
  #who: UserArg;

  constructor(settings: TerminalSettings) {
    this.#settings = settings;
    this.#who = speaker(settings.speaker) ?? { id: 'local:you', name: 'You' };
    this.#people.add(this.#who.name);
    this.#tty = settings.output.isTTY === true;
    this.#history = (this.#tty && this.#kept(() => readHistory(this.#historyFile()))) || [];
    this.channel = new LocalChannel(settings.app, (entry) => this.#show(entry));
    this.#reader = createInterface({
      input: settings.input,
      output: settings.output,
      terminal: this.#tty,
      history: [...this.#history],
      historySize: 500,
      removeHistoryDuplicates: true,
      completer: (line: string, back: (err: null, found: [string[], string]) => void) => {
        void this.#complete(line).then((found) => back(null, found));
      },
    });
    this.#reader.on('line', (line) => this.#lines.push(line));
    this.#reader.on('history', (history: string[]) => {
      this.#history = history;
    });
    this.#reader.on('SIGINT', () => this.#reader.close());
    this.#reader.on('close', () => {
      this.#left = true;
      this.#lines.end();
    });
    this.#deaf = settings.app.changes.listen((trip) => void this.#ifErased(trip));
    this.done = this.#talk();
  }

  /** Ends the conversation; what is being answered is finished first. */
  async close(): Promise<void> {
    this.#reader.close();
    await this.done;
  }

  async #talk(): Promise<void> {
    this.#write(
      "tagline keeps a climbing party's trip. Local channel: messages are shown here.\n" +
        '/help leads the way. Tab completes, "as greta" changes who speaks, "exit" ends.\n',
    );
    for (;;) {
      const line = await this.#ask(`${this.#who.name}> `);
      // The prompt still stands there when the person leaves without a word.
      if (line === undefined && this.#tty) this.#write('\n');
      if (line === undefined) break;
      if (line.trim() === '') continue;
      const { app } = this.#settings;
      const meant = meaning(line, app.commands, this.channel.labels(this.#who));
      if (meant !== undefined && 'leave' in meant) break;
      await this.#take(meant?.line ?? line.trim());
    }
    this.#deaf();
    this.#reader.close();
    if (this.#tty) this.#kept(() => writeHistory(this.#historyFile(), this.#history));
  }

  /** With a trip goes what was typed: a phone may be in it. */
  async #ifErased(trip: string): Promise<void> {
    const row = await this.#settings.app.store.trip(trip).catch(() => undefined);
    if (row?.status !== 'purged') return;
    this.#history = [];
    Object.assign(this.#reader, { history: [] });
    if (this.#tty) this.#kept(() => writeHistory(this.#historyFile(), []));
  }

  /** What concerns the history alone must not end the conversation. */
  #kept<T>(use: () => T): T | undefined {
    if (this.#historyFails) return undefined;
    try {
      return use();
    } catch (error) {
      this.#historyFails = true;
      this.#write(`The lines you type aren't kept: ${this.#historyFile()} ${whyNot(error)}.\n`);
      return undefined;
    }
  }

  async #take(line: string): Promise<void> {
    const as = /^as(?:\s+(.+))?$/iu.exec(line);
    if (as !== null) return this.#speakAs(as[1]);
    try {
      await this.channel.say(this.#who, line, {
        folder: this.#settings.folder,
        askField: (title, field) => this.#askField(title, field),
      });
    } catch (error) {
      if (!(error instanceof Unreadable)) throw error;
      this.#write(
        `${renderText({ lines: this.#unread(line, error) }, this.#style()).join('\n')}\n\n`,
      );
    }
  }

  #unread(line: string, error: Unreadable): readonly string[] {
    const near = /^[[/]/u.test(line) ? undefined : commandNear(line, this.#settings.app.commands);
    return near === undefined ? error.lines : [...error.lines, `Did you mean /${near}?`];
  }

  #speakAs(name: string | undefined): void {
    const who = name === undefined ? this.#who : speaker(name);
    if (name === undefined) this.#write(`${this.#who.name} speaks. "as greta" changes that.\n`);
    else if (who === undefined) this.#write(`"${name}" is not a name.\n`);
    else this.#write(`${who.name} speaks now.\n`);
    if (who === undefined) return;
    this.#who = who;
    this.#people.add(who.name);
  }

  async #askField(title: string, field: AskField): Promise<string> {
    const hint = field.value ?? field.placeholder;
    const shown = hint === undefined ? '' : ` (${hint})`;
    const typed = await this.#ask(`${title} ${field.label}${shown}: `);
    if (typed !== undefined && /^(exit|quit|cancel)$/iu.test(typed.trim())) {
      throw new Unreadable('Left; nothing was done.', '"exit" once more ends the local channel.');
    }
    return typed === undefined || typed.trim() === '' ? (field.value ?? '') : typed.trim();
  }

  /** One line; undefined when there are no more. */
  async #ask(prompt: string): Promise<string | undefined> {
    this.#reader.setPrompt(prompt);
    // From Node 24 on a closed reader throws when it is to prompt.
    if (this.#tty && !this.#left) this.#reader.prompt();
    const line = await this.#lines.next();
    // From a pipe nothing is echoed, and answers without the questions can't be followed.
    if (!this.#tty && line !== undefined) this.#write(`${prompt}${line}\n`);
    return line;
  }

  #show(entry: Entry): void {
    const text = renderText(entry.reply, this.#style(entry.trip)).join('\n');
    if (entry.kind === 'answer') {
      this.#write(`${text}\n\n`);
      return;
    }
    const time = this.#time(entry.zone, entry.atMs);
    const by = entry.by === 'channel' ? '' : ` (${entry.by})`;
    if (this.#tty) {
      // A notice may come while somebody types: it takes the line's place, and the line comes back.
      clearLine(this.#settings.output, 0);
      cursorTo(this.#settings.output, 0);
    }
    this.#write(`${time}  to ${entry.to}${by}\n${text}\n\n`);
    if (this.#tty) this.#reader.prompt(true);
  }

  /** `14:00`, in the wall's zone; with its name where this machine's clock shows something else. */
  #time(wallZone: string | undefined, atMs: number): string {
    const own = this.#settings.zone;
    const zone = wallZone ?? own;
    const differs = clock(own, atMs) !== clock(zone, atMs);
    return `${clock(zone, atMs)}${differs ? ` ${zone}` : ''}`;
  }

  #style(trip?: string): TextStyle {
    const noColor = this.#settings.noColor ?? '';
    return {
      // Some terminals say 0 for a width they don't know.
      width: Math.min(this.#settings.output.columns || WIDTH_MAX, WIDTH_MAX),
      bold: this.#tty && noColor === '',
      kept: (file) => keepFile(filesFolder(this.#settings.dataDir, trip), file),
    };
  }

  #complete(line: string): Promise<[string[], string]> {
    const { app, folder } = this.#settings;
    return completions({
      app,
      line,
      folder,
      labels: this.channel.labels(this.#who),
      people: [...this.#people],
      call: {
        id: 'completion',
        atMs: app.clock.wallMs(),
        actor: this.#who,
        where: { channel: MAIN_CHANNEL, direct: false },
      },
    });
  }

  #historyFile(): string {
    return join(this.#settings.dataDir, 'history');
  }

  #write(text: string): void {
    this.#settings.output.write(text);
  }
}
