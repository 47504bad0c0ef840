import { watched } from '../../src/alarm/expectations.ts';
import { nextWordIn } from '../../src/alarm/words/glance.ts';
import type { Home } from '../../src/alarm/words/home.ts';
import { modeIn } from '../../src/alarm/words/mode-home.ts';
import type { App } from '../../src/app/app.ts';
import { type Call, type Suggest, sub } from '../../src/app/command.ts';
import { helpAbout } from '../../src/app/help-about.ts';
import { isAtHome, wordsToward } from '../../src/app/toward.ts';
import { personOf, readerOf } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line } from '../../src/say/reply.ts';
import type { TripState } from '../../src/trip/state.ts';
import { nextSteps } from './next.ts';

const suggestCommands: Suggest = async (_call, typed, app) =>
  app.commands
    .filter((c) => c.name.startsWith(typed.replace(/^\//, '').toLowerCase()))
    .slice(0, 25)
    .map((c) => ({ name: c.name, value: c.name }));

const options = {
  about: {
    type: 'string',
    description: 'A command to explain',
    maxLength: 40,
    suggest: suggestCommands,
  },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    help: typeof options;
  }
}

/** What to do next, from where the trip stands; with a command's name, that command. */
export const help = sub({
  description: 'What to do next, from where the trip stands',
  access: 'anyone',
  private: true,
  options,
  async run(call, { about }, app) {
    if (about !== undefined) return helpAbout(app, about);
    const state = await tripHere(app, call);
    const w = state === undefined ? undefined : wordsToward(state, call);
    if (state !== undefined && w !== undefined && w.language !== 'en' && isAtHome(state, call)) {
      return { lines: homeLines({ w, state, nowMs: call.atMs }), private: true };
    }
    const next =
      state === undefined
        ? { lines: firstSteps(), buttons: [] }
        : nextSteps(state, call.atMs, app.pages !== undefined, whoReads(state, call.actor.id));
    return {
      lines: [
        ...next.lines,
        `Commands: ${app.commands.map((c) => `/${c.name}`).join(' ')}`,
        ['Each one: ', { code: '/help about:pitch' }],
      ],
      ...(next.buttons.length === 0 ? {} : { buttons: next.buttons }),
      private: true,
    };
  },
});

const FOR_HOME = ['overdue show', 'checkin ok', 'overdue sheet', 'checkin contact'] as const;

/** To a contact in their own language: how things stand, and what there is for them. */
function homeLines(h: Home): Line[] {
  return [
    modeIn(h),
    nextWordIn(h),
    ...FOR_HOME.map((path): Line => [`${h.w.text(`command.${path}`)}: `, { code: `/${path}` }]),
  ];
}

/** A climber of a watched party is told of an alarm before any answer. */
function whoReads(state: TripState, userId: string) {
  const climbs = personOf(state, userId)?.roles.includes('climber') === true;
  return climbs && watched(state) ? 'climber' : readerOf(state, userId);
}

async function tripHere(app: App, call: Call): Promise<TripState | undefined> {
  try {
    return (await look(app, call)).state;
  } catch (error) {
    if (error instanceof Refusal) return undefined;
    throw error;
  }
}

function firstSteps(): Line[] {
  return [
    'No trip is open here. It goes like this:',
    ['1. ', { code: '/trip open name:"Our wall" zone:Europe/Oslo' }],
    [
      '2. ',
      { code: '/topo load' },
      ' with a CSV file, or ',
      { code: '/topo edit number:1 length:38 free:6a' },
    ],
    [
      '3. ',
      { code: '/roster add name:Mara free:6c' },
      ' for each; ground crew and a contact at home too',
    ],
    ['4. ', { code: '/trip depart' }, ', then ', { code: '/pitch done' }, ' after each pitch'],
  ];
}
