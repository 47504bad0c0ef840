import { type Options, sub } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { parseTimetable } from '../../src/timetable/typed.ts';
import { SHUTTLE, shuttleNameOption } from './name.ts';
import { departureLines } from './words.ts';

const options = {
  times: {
    type: 'string',
    description: 'Like: first 06:20, last 18:40, every 20 min, 1 May–12 Oct, not Sundays',
    required: true,
    maxLength: 1000,
  },
  name: shuttleNameOption,
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'shuttle add': typeof options;
  }
}

/** What was understood is said back. */
export const add = sub({
  description: 'A timetable as you would say it',
  access: 'post',
  options,
  run(call, { times, name = SHUTTLE }, app) {
    let readAs: string[] = [];
    return change(app, call, {
      decide({ state }) {
        const read = parseTimetable(times, state.zone);
        if (!read.ok) throw new Refusal('unreadable-value', [read.message]);
        readAs = read.readAs;
        return [{ kind: 'shuttle.set', data: { name, timetable: read.timetable } }];
      },
      answer: async ({ after, events }) => ({
        lines: [
          `The ${name}, as I understood it:`,
          ...readAs,
          ...(await departureLines(app, after, call.atMs)),
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      }),
    });
  },
});
