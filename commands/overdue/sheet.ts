import { type CapOptions, capXml } from '../../src/alarm/cap.ts';
import { lastCap, nextCap } from '../../src/alarm/cap-issue.ts';
import { phaseNow } from '../../src/alarm/ladder.ts';
import { type Sheet, sheetOf } from '../../src/alarm/sheet.ts';
import { sheetSections } from '../../src/alarm/sheet-text.ts';
import type { App } from '../../src/app/app.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { installation } from '../../src/app/installation.ts';
import { wordsToward } from '../../src/app/toward.ts';
import { change } from '../../src/record/change.ts';
import type { Loaded } from '../../src/record/records.ts';
import { look } from '../../src/record/trips.ts';
import { fileName, textFile } from '../../src/say/message.ts';
import type { Line, Reply } from '../../src/say/reply.ts';

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
    if (head !== undefined) return capReply(sheetOf(state, head.sentMs), head);
    const card = phaseNow(state) === undefined ? 'calm' : 'alarm';
    const reply = { ...sheetReply(app, sheetOf(state, call.atMs), as === 'print'), card } as const;
    const w = wordsToward(state, call);
    if (w.language === 'en') return reply;
    return { ...reply, lines: [w.say('page.sheetEnglish'), ...reply.lines] };
  },
});

function openingOf({ state, history }: Loaded, as: 'message' | 'print' | 'cap') {
  if (as !== 'cap') return { as };
  const newest = history.findLast((f) => f.kind !== 'watch.sheet')?.seq ?? 0;
  const cap = nextCap(state, newest);
  return { as, ...(cap && { cap }) };
}

const OPENED = 'That you opened it stands in the record. tagline is no rescue service.';

function sheetReply(app: App, sheet: Sheet, toPrint: boolean): Reply {
  const lines = sheetSections(sheet).flatMap(({ title, lines }): Line[] => [
    title.toUpperCase(),
    ...lines,
  ]);
  return {
    lines: [`Sheet for ${sheet.name}, to read to the rescue service.`, ...lines, OPENED],
    ...(toPrint ? { files: [app.printSheet(sheet)] } : {}),
    private: true,
  };
}

function capReply(sheet: Sheet, head: CapOptions): Reply {
  return {
    lines: [
      ...aboutCap(head),
      'The sheet as a CAP 1.2 file, scope Private, for a rescue service that takes one.',
      OPENED,
    ],
    files: [
      textFile(`sheet-${fileName(sheet.name)}.xml`, 'application/cap+xml', capXml(sheet, head)),
    ],
    private: true,
  };
}

function aboutCap({ status, msgType, references }: CapOptions): string[] {
  const earlier =
    references.length === 1 ? 'the earlier file' : `the ${references.length} earlier files`;
  // While nothing is overdue it can only be somebody trying it out.
  if (status === 'Test') return ['Nothing is overdue, so the file says Test.'];
  if (msgType === 'Update') return [`It takes the place of ${earlier}.`];
  if (msgType === 'Cancel')
    return [`The alarm is over: it cancels ${earlier}. Send it to whoever has one.`];
  return [];
}
