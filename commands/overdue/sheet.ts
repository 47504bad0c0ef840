import { capXml } from '../../src/alarm/cap.ts';
import { type Sheet, sheetOf } from '../../src/alarm/sheet.ts';
import { sheetSections } from '../../src/alarm/sheet-text.ts';
import type { App } from '../../src/app/app.ts';
import { type Options, sub } from '../../src/app/command.ts';
import { change } from '../../src/record/change.ts';
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
  counts: 'never',
  private: true,
  options,
  async run(call, { as = 'message' }, app) {
    const opened = await change(app, call, {
      decide: () => [{ kind: 'watch.sheet', data: { as } }],
      answer: () => ({ lines: ['Opened.'], private: true }),
    });
    if (opened.refused === true) return opened;
    // Made after the opening is stored, and not kept with it: answers hold nothing private for longer.
    const { state } = await look(app, call, 'act');
    const made = sheetOf(state, call.atMs);
    return as === 'cap' ? capReply(made) : sheetReply(app, made, as === 'print');
  },
});

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

function capReply(sheet: Sheet): Reply {
  // While nothing is overdue it can only be somebody trying it out.
  const status = sheet.phase === undefined ? 'Test' : 'Actual';
  const xml = capXml(sheet, { sender: 'tagline', status });
  return {
    lines: [
      ...(status === 'Test' ? ['Nothing is overdue, so the file says Test.'] : []),
      'The sheet as a CAP 1.2 file, scope Private, for a rescue service that takes one.',
      OPENED,
    ],
    files: [textFile(`sheet-${fileName(sheet.name)}.xml`, 'application/cap+xml', xml)],
    private: true,
  };
}
