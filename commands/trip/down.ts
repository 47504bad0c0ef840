import { watched } from '../../src/alarm/expectations.ts';
import { names } from '../../src/alarm/who.ts';
import { nextLines } from '../../src/alarm/words/news.ts';
import { overButton, troubleLines } from '../../src/alarm/words/trouble.ts';
import type { App } from '../../src/app/app.ts';
import { type Call, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { namedIds, partNames, partOptions } from '../../src/app/parts.ts';
import { troubleStands } from '../../src/app/trouble-asked.ts';
import { toldWords } from '../../src/app/watch/warnings.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { changeTimeButton, undoButton, undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { capital } from '../../src/say/capital.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import { onTheWall, openTroubles } from '../../src/trip/conditions.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import { type DescentPoint, POINT_WORDS } from '../../src/trip/kinds/descent.ts';
import type { TripState } from '../../src/trip/state.ts';
import { already } from './already.ts';
import { mostlyUndone, notUp } from './not-up.ts';

const options = {
  reached: {
    type: 'string',
    description: 'How far on the way down; left out, everyone is down',
    choices: [
      { name: 'left the top', value: 'off-top' },
      { name: 'at the foot', value: 'foot' },
      { name: 'at the stop', value: 'stop' },
    ],
  },
  at: toldAtOption,
  who: { ...partOptions.who, description: 'Only these are off the wall: Jonas, or "Jonas, Ines"' },
  /** Also those in trouble are out: asked before. */
  out: { type: 'boolean', description: 'Asked before', hidden: true },
  /** Down from low on the wall: asked before. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip down': typeof options;
  }
}

export const down = sub({
  description: 'Everyone is down: nothing falls due any more',
  access: 'act',
  counts: 'vital',
  options,
  run: (call, { reached, at, out = false, sure = out, who }, app) =>
    who !== undefined
      ? someOut(app, call, who, at)
      : reached === undefined
        ? allDown(app, call, { at, out, sure })
        : onTheWay(app, call, reached, at),
});

interface AllDown {
  at: string | undefined;
  out: boolean;
  sure: boolean;
}

function allDown(app: App, call: Call, { at, out, sure }: AllDown): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw already(state.downAtMs, 'Everyone was down', state, call);
      const told = toldTime(state, call, at);
      if (!sure && openTroubles(state).length === 0 && mostlyUndone(state))
        throw notUp(state, call, told.atMs);
      return [...endings(state, call, out, told.atMs), { kind: 'trip.down', data: {}, ...told }];
    },
    answer({ after, events }) {
      const seq = events.at(-1)?.seq ?? 0;
      return {
        lines: [
          `Everyone down at ${dayClock(after.zone, after.downAtMs ?? call.atMs, call.atMs)}.`,
          ...toldWords(after),
          [
            'The record stays: ',
            { code: '/log export' },
            '. To end the trip here: ',
            { code: '/trip close' },
          ],
        ],
        buttons: [undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}

/** Some are off the wall; who is still up there goes on being watched. */
function someOut(app: App, call: Call, typed: string, at: string | undefined): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw already(state.downAtMs, 'Everyone was down', state, call);
      const told = toldTime(state, call, at);
      const who = namedIds(state, typed);
      const hurt = openTroubles(state).find((t) => t.who.some((id) => who.includes(id)));
      if (hurt !== undefined) {
        const stands = troubleLines(state, hurt, call.atMs);
        throw new Refusal(
          'trouble-open',
          ['That trouble has to end first:', ...stands],
          [overButton(hurt)],
        );
      }
      const left = onTheWall(state).filter((p) => !who.includes(p.id));
      if (left.length === 0) return [{ kind: 'trip.down', data: {}, ...told }];
      return [{ kind: 'party.out', data: { who }, ...told }];
    },
    answer({ after, events }) {
      const when = dayClock(after.zone, events[0]?.atMs ?? call.atMs, call.atMs);
      const up = onTheWall(after);
      const everyone = after.downAtMs !== undefined;
      return {
        lines: [
          `${everyone ? 'Everyone' : partNames(after, namedOut(events))} off the wall at ${when}.`,
          ...(everyone ? toldWords(after) : [`Still up there: ${names(up)}.`]),
          ...(watched(after) ? nextLines(after, call.atMs) : []),
        ],
        buttons: undoButtons(events),
      };
    },
  });
}

function namedOut(events: readonly Fact[]): readonly string[] {
  return events.flatMap((e) => (e.kind === 'party.out' ? e.data.who : []));
}

/** A point of the way down: a sign of life, and nothing that is watched ends by it. */
function onTheWay(
  app: App,
  call: Call,
  point: DescentPoint,
  at: string | undefined,
): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.downAtMs !== undefined)
        throw already(state.downAtMs, 'Everyone was down', state, call);
      return [{ kind: 'descent.reached', data: { point }, ...toldTime(state, call, at) }];
    },
    answer({ after, events }) {
      const seq = events[0]?.seq ?? 0;
      const when = dayClock(after.zone, events[0]?.atMs ?? call.atMs, call.atMs);
      const said = POINT_WORDS[point];
      const stands = troubleStands(after, call.atMs);
      return {
        lines: [
          `${capital(said)} at ${when}.`,
          ['When everyone is down: ', { code: '/trip down' }],
          ...stands.lines,
          ...(watched(after) ? nextLines(after, call.atMs) : []),
        ],
        buttons: [...stands.buttons, undoButton(seq), changeTimeButton(seq)],
      };
    },
  });
}

/** Everyone down means that those in trouble are out too; that is said by a press, not taken for granted. */
function endings(state: TripState, call: Call, out: boolean, atMs: number): Draft[] {
  const open = openTroubles(state);
  if (open.length > 0 && !out) {
    throw new Refusal(
      'trouble-open',
      [
        'Trouble stands, so not everyone counts as down:',
        ...open.flatMap((trouble) => troubleLines(state, trouble, call.atMs)),
        'Are they off the wall as well, and in somebody’s care?',
      ],
      [
        {
          label: 'Yes, everyone is out',
          press: { path: 'trip down', options: { out: true, at: exactTime(atMs) } },
        },
      ],
    );
  }
  return open.map((trouble) => ({
    kind: 'trouble.over',
    data: { trouble: trouble.id, said: `everyone is down, says ${call.actor.name}`, left: 'out' },
  }));
}
