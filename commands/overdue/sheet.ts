import { type CapOptions, type CapSheets, capXml } from '../../src/alarm/cap.ts';
import { lastCap, nextCap } from '../../src/alarm/cap-issue.ts';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetSections } from '../../src/alarm/sheet-text.ts';
import { contacts } from '../../src/alarm/who.ts';
import type { App } from '../../src/app/app.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { installation } from '../../src/app/installation.ts';
import { wordsToward } from '../../src/app/toward.ts';
import { change } from '../../src/record/change.ts';
import type { Loaded } from '../../src/record/records.ts';
import { look } from '../../src/record/trips.ts';
import { CODES, type Language, languageOf } from '../../src/say/contact/languages.ts';
import { type Words, wordsIn } from '../../src/say/contact/words.ts';
import { fileName, textFile } from '../../src/say/message.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  as: {
    type: 'string',
    description: 'A message unless named',
    choices: [
      { name: 'message', value: 'message' },
      { name: 'file for printing', value: 'print' },
      { name: 'CAP 1.2 file', value: 'cap' },
    ],
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue sheet': typeof options;
  }
}

/** The sheet for the rescue service; who opened it stands in the record. */
export const sheet = sub({
  description: 'What to read to the rescue service; every opening is recorded',
  access: 'act',
  counts: 'vital',
  private: true,
  options,
  async run(call, { as = 'message' }, app) {
    // Before the opening is stored: what can't be made must not stand there.
    const sender = as === 'cap' ? `tagline-${await installation(app)}` : '';
    const opened = await change(app, call, {
      decide: (loaded) => [{ kind: 'watch.sheet', data: openingOf(loaded, as) }],
      answer: () => ({ lines: ['Opened.'], private: true }),
    });
    if (opened.refused === true) return opened;
    // Made after the opening is stored, and not kept with it: answers hold nothing private for longer.
    const { state } = await look(app, call, 'act');
    const head = as === 'cap' ? lastCap(state, sender) : undefined;
    const w = wordsToward(state, call);
    if (head !== undefined) return capReply(state, head, w);
    const card = phaseNow(state) === undefined ? 'calm' : 'alarm';
    return { ...sheetReply(app, state, call.atMs, w, as === 'print'), card };
  },
});

function openingOf({ state, history }: Loaded, as: 'message' | 'print' | 'cap') {
  if (as !== 'cap') return { as };
  const newest = history.findLast((f) => f.kind !== 'watch.sheet')?.seq ?? 0;
  const cap = nextCap(state, newest);
  return { as, ...(cap && { cap }) };
}

function sheetReply(app: App, state: TripState, nowMs: number, w: Words, toPrint: boolean): Reply {
  const sheet = sheetOf(state, nowMs, w);
  const lines = sheetSections(sheet, w).flatMap(({ title, lines }): Line[] => [
    title.toUpperCase(),
    ...lines,
  ]);
  return {
    lines: [w.say('sheet.toRead', { name: sheet.name }), ...lines, w.say('sheet.opened')],
    ...(toPrint ? { files: [app.printSheet(sheet, w)] } : {}),
    private: true,
  };
}

function capReply(state: TripState, head: CapOptions, w: Words): Reply {
  const made = capLanguages(state).map((language) => [
    language,
    sheetOf(state, head.sentMs, wordsIn(language)),
  ]);
  const sheets: CapSheets = { en: sheetOf(state, head.sentMs), ...Object.fromEntries(made) };
  const name = fileName(state.name);
  return {
    lines: [...aboutCap(head, w), w.say('sheet.cap.file'), w.say('sheet.opened')],
    files: [textFile(`sheet-${name}.xml`, 'application/cap+xml', capXml(sheets, head))],
    private: true,
  };
}

/** What contacts of this trip read, beside English: whoever asks for the file again gets the same one. */
function capLanguages(state: TripState): Language[] {
  const theirs = contacts(state).flatMap((p) => languageOf(p.locale) ?? []);
  return CODES.filter((code) => code !== 'en' && theirs.includes(code));
}

function aboutCap({ status, msgType, references }: CapOptions, w: Words): Line[] {
  const n = references.length;
  // While nothing is overdue it can only be somebody trying it out.
  if (status === 'Test') return [w.say('sheet.cap.test')];
  if (msgType === 'Update') return [w.say('sheet.cap.update', { n })];
  return msgType === 'Cancel' ? [w.say('sheet.cap.cancel', { n })] : [];
}
