import type { App } from '../../src/app/app.ts';
import { type Call, type Suggest, sub } from '../../src/app/command.ts';
import { phaseWords } from '../../src/app/words/trip.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { climbers, present, type TripState } from '../../src/trip/state.ts';

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
    const lines = state === undefined ? firstSteps() : nextSteps(state, call.atMs);
    return {
      lines: [
        ...lines,
        `Commands: ${app.commands.map((c) => `/${c.name}`).join(' ')}`,
        ['Each one: ', { code: '/help about:pitch' }],
      ],
      private: true,
    };
  },
});

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

function nextSteps(state: TripState, nowMs: number): Line[] {
  return [`${state.name}: ${phaseWords(state, nowMs)}`, ...stepsOf(state)];
}

function stepsOf(state: TripState): Line[] {
  if (state.pitches.length === 0) {
    return [
      [
        'Next: the pitches. ',
        { code: '/topo load' },
        ' or ',
        { code: '/topo edit number:1 length:38' },
      ],
    ];
  }
  if (climbers(state).length === 0) {
    return [['Next: who climbs. ', { code: '/roster add name:Mara free:6c aid:A2' }]];
  }
  if (!present(state).some((p) => p.roles.includes('contact'))) {
    return [['Next: who waits at home. ', { code: '/roster add name:Dana role:contact' }]];
  }
  switch (state.phase) {
    case 'preparing':
      return [
        [
          'Leads: ',
          { code: '/lead plan' },
          ', ',
          { code: '/lead order' },
          ', ',
          { code: '/lead assign' },
        ],
        ['When you go: ', { code: '/trip depart' }],
      ];
    case 'climbing':
      return [
        ['After each pitch: ', { code: '/pitch done' }, ', or ', { code: '/pitch done at:-20m' }],
        [
          'Who leads: ',
          { code: '/lead next' },
          '. A wrong post: [Undo], or ',
          { code: '/pitch amend' },
        ],
        ...(state.departedAtMs === undefined
          ? [['The watch starts with ', { code: '/trip depart' }]]
          : []),
      ];
    case 'descending':
      return [['When everyone is down: ', { code: '/trip down' }]];
    case 'down':
    case 'closed':
      return [
        ['Keep the record: ', { code: '/log export' }, '. End the trip: ', { code: '/trip close' }],
      ];
  }
}

function helpAbout(app: App, about: string): Reply {
  const name = about.replace(/^\//, '').split(' ')[0]?.toLowerCase();
  const command = app.commands.find((c) => c.name === name);
  if (command === undefined) {
    throw new Refusal('no-such-command', [
      `There is no /${name}.`,
      `There is: ${app.commands.map((c) => c.name).join(', ')}.`,
    ]);
  }
  const subs = Object.entries(command.subs ?? {});
  return {
    lines: [
      `/${command.name}: ${command.description}.`,
      ...subs.map(([sub, def]): Line => {
        const options = Object.entries(def.options).filter(([, o]) => o.hidden !== true);
        const words = options.map(([key, o]) => (o.required === true ? `${key}:` : `[${key}:]`));
        return [{ code: [`/${command.name} ${sub}`, ...words].join(' ') }, ` ${def.description}.`];
      }),
    ],
    private: true,
  };
}
