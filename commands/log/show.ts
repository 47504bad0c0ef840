import { importedLines } from '../../src/alarm/words/imported.ts';
import { sub } from '../../src/app/command.ts';
import { entryWords } from '../../src/app/words/post.ts';
import { mayAct } from '../../src/record/membership.ts';
import { lookBack } from '../../src/record/trips.ts';
import type { Button, Line } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Fact } from '../../src/trip/fact.ts';
import { kindOf } from '../../src/trip/kinds/index.ts';
import type { LogEntry, TripState } from '../../src/trip/state.ts';

const PER_PAGE = 10;

const options = {
  page: {
    type: 'integer',
    description: 'Which page; 1 is the newest',
    min: 1,
    max: 1000,
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'log show': typeof options;
  }
}

/** The record, page 1 the newest; struck entries stay and say so. */
export const show = sub({
  description: 'The record, ten entries a page, newest page first',
  access: 'look',
  private: true,
  options,
  async run(call, { page = 1 }, app) {
    const { state } = await lookBack(app, call);
    const count = state.entries.length;
    const pages = Math.max(1, Math.ceil(count / PER_PAGE));
    const at = Math.min(page, pages);
    const mine = mayAct(state, call.actor.id);
    // Counted from the newest, so that the first page is a whole one.
    const end = count - (at - 1) * PER_PAGE;
    const shown = state.entries.slice(Math.max(0, end - PER_PAGE), end);
    return {
      lines: [
        `${state.name}: ${count} entries, page ${at} of ${pages}.`,
        ...importedLines(state, call.atMs),
        ...shown.map((entry) => entryLine(state, entry, call.atMs, mine)),
      ],
      buttons: turnButtons(at, pages),
      private: true,
    };
  },
});

function entryLine(state: TripState, entry: LogEntry, nowMs: number, mine: boolean): Line {
  const { event, struckBy, amendedBy } = entry;
  const told = dayClock(state.zone, event.recordedAtMs, nowMs);
  const inTime = happened(event) && event.recordedAtMs - event.atMs < 60_000;
  const by = inTime ? event.by.name : `told ${told} by ${event.by.name}`;
  const what =
    mine || !kindOf(event.kind).private ? entryWords(state, event, nowMs) : 'for the roster only';
  const notes = [
    ...(struckBy === undefined ? [] : [`struck by ${struckBy}`]),
    ...(amendedBy.length === 0 ? [] : [`amended by ${amendedBy.join(', ')}`]),
  ];
  const after = notes.length === 0 ? '' : ` [${notes.join('; ')}]`;
  return `${event.seq}. ${what} (${by})${after}`;
}

function happened(event: Fact): boolean {
  return kindOf(event.kind).order === 'happened';
}

function turnButtons(at: number, pages: number): Button[] {
  const turn = (label: string, page: number): Button => ({
    label,
    press: { path: 'log show', options: { page } },
  });
  return [
    ...(at < pages ? [turn('Older', at + 1)] : []),
    ...(at > 1 ? [turn('Newer', at - 1)] : []),
  ];
}
