import type { App } from '../../src/app/app.ts';
import { type Args, type Call, sub } from '../../src/app/command.ts';
import { forecastBeside, forecastOf } from '../../src/app/forecast/run.ts';
import { suggestFigures } from '../../src/app/forecast/suggest.ts';
import { climberMeant, suggestClimbers } from '../../src/app/who.ts';
import { headline } from '../../src/app/words/forecast.ts';
import { paceWords, takenWords } from '../../src/app/words/pace.ts';
import { undoButton } from '../../src/app/words/post.ts';
import {
  checkSettings,
  DEFAULTS,
  type DefaultRow,
  defaultRow,
  LEAD_FACTOR_PREFIX,
} from '../../src/forecast/defaults.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { look } from '../../src/record/trips.ts';
import { capital } from '../../src/say/capital.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Line, Reply } from '../../src/say/reply.ts';
import { nameOf, type TripState } from '../../src/trip/state.ts';
import { paceFrom, paceFromOption } from './pace-from.ts';

const LISTED = '/trip pace lists them.';

/** What a party may say of itself, and how that is said back. */
const PARTIES = {
  first: 'first wall together',
  average: 'average',
  efficient: 'efficient',
} as const;

const OR_FROM = 'a closed trip of yours on this server whose pace is taken over, by its name';

const options = {
  party: {
    type: 'string',
    description: 'How fast is this party?',
    choices: [
      { name: 'First wall together', value: 'first' },
      { name: 'Average', value: 'average' },
      { name: 'Efficient', value: 'efficient' },
    ],
  },
  from: { ...paceFromOption, description: `Or: ${OR_FROM}` },
  figure: {
    type: 'string',
    description: 'Or: which figure',
    maxLength: 40,
    suggest: suggestFigures,
  },
  climber: {
    type: 'string',
    description: "Or: a climber's leads, times the default",
    maxLength: LIMITS.nameLength,
    suggest: suggestClimbers,
  },
  value: { type: 'number', description: 'Your own; left out, it goes back to ours' },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip pace': typeof options;
  }
}

export const pace = sub({
  description: 'The figures behind the forecast, with their origin; or set one of your own',
  access: 'post',
  private: true,
  options,
  async run(call, args, app) {
    const { party, from, figure, climber } = args;
    const named = [party, from, figure, climber].filter((v) => v !== undefined).length;
    if (named > 1 || ((party ?? from) !== undefined && args.value !== undefined)) {
      throw new Refusal('options-clash', 'One at a time: party:, from:, figure: or climber:.');
    }
    if (from !== undefined) return takeFrom(app, call, from);
    if (args.party !== undefined) return setParty(app, call, args.party);
    if (named === 1) return setFigure(app, call, args);
    if (args.value === undefined) return showFigures(app, call);
    throw new Refusal('needs-value', [
      'Which figure is that? figure: or climber: names it.',
      LISTED,
    ]);
  },
});

/** What the party says of itself. */
function setParty(app: App, call: Call, party: keyof typeof PARTIES): Promise<Reply> {
  return change(app, call, {
    decide: () => [{ kind: 'trip.edited', data: { settings: { party } } }],
    async answer({ after, events }) {
      const forecast = await forecastBeside(app, after, call.atMs);
      return {
        lines: [
          `This party: ${PARTIES[party]}.`,
          ...(forecast === undefined ? [] : [headline(after, forecast, call.atMs)]),
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

/** The pace of an earlier trip. */
function takeFrom(app: App, call: Call, from: string): Promise<Reply> {
  return change(app, call, {
    decide: async ({ row }) => [await paceFrom(app, call, from, row.guild)],
    async answer({ after, events }) {
      const forecast = await forecastBeside(app, after, call.atMs);
      return {
        lines: [
          ...takenWords(after),
          ...(forecast === undefined ? [] : [headline(after, forecast, call.atMs)]),
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
        private: true,
      };
    },
  });
}

/** A figure, or a climber's factor, of the party's own. */
function setFigure(app: App, call: Call, args: Args<typeof options>): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      const key = keyOf(state, args);
      const figures = { ...state.settings.pace };
      if (args.value === undefined) delete figures[key];
      else figures[key] = args.value;
      const [problem] = checkSettings(figures);
      if (problem !== undefined) {
        const { low, high, unit } = problem;
        throw new Refusal(
          'out-of-range',
          `${labelOf(state, key)} can be ${low} to ${high}${unit === undefined ? '' : ` ${unit}`}.`,
        );
      }
      return [{ kind: 'trip.edited', data: { settings: { pace: figures } } }];
    },
    async answer({ after, events }) {
      const forecast = await forecastBeside(app, after, call.atMs);
      const key = keyOf(after, args);
      const said = args.value === undefined ? 'back to the default' : String(args.value);
      return {
        lines: [
          `${labelOf(after, key)}: ${said}.`,
          ...(forecast === undefined ? [] : [headline(after, forecast, call.atMs)]),
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

function keyOf(state: TripState, args: Args<typeof options>): string {
  if (args.climber !== undefined) return LEAD_FACTOR_PREFIX + climberMeant(state, args.climber).id;
  const figure = args.figure ?? '';
  if (defaultRow(figure) !== undefined) return figure;
  throw new Refusal('no-such-choice', [`There is no figure ${figure}.`, LISTED]);
}

function labelOf(state: TripState, key: string): string {
  if (key.startsWith(LEAD_FACTOR_PREFIX)) {
    return `${nameOf(state, key.slice(LEAD_FACTOR_PREFIX.length))} leading, times the default`;
  }
  const row = defaultRow(key);
  if (row === undefined) return key;
  return `${capital(row.text)} (${row.unit})`;
}

/** What is believed of the party before anything is climbed, and what has been learnt since. */
async function believed(app: App, call: Call, state: TripState): Promise<Line[]> {
  const { party } = state.settings;
  const forecast = await forecastOf(app, state, call.atMs);
  const said: Line =
    party === undefined && state.takenPace !== undefined
      ? 'Nobody said how fast this party is; an earlier trip did.'
      : party === undefined
        ? [
            'Nobody said how fast this party is, so anything from efficient to a first wall is believed. ',
            { code: '/trip pace party:average' },
          ]
        : `This party says of itself: ${PARTIES[party]}.`;
  return [
    said,
    ...takenWords(state),
    ...(forecast === undefined ? [] : paceWords(state, forecast)),
  ];
}

/** A figure in the file: what it is, its range, where it comes from. */
function figureText(d: DefaultRow, own: Readonly<Record<string, number>>): string {
  return [
    `${d.name}: ${own[d.name] ?? d.value} ${d.unit} (${d.low} to ${d.high})`,
    `  ${d.text}`,
    `  ${d.name in own ? `your own; ours is ${d.value}` : d.origin}: ${d.source}`,
  ].join('\n');
}

async function showFigures(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call, 'act');
  const own = state.settings.pace;
  const set = Object.entries(own).map(
    ([key, value]) => `${labelOf(state, key)}: ${value}, your own.`,
  );
  const rows = DEFAULTS.map((d) => figureText(d, own));
  return {
    lines: [
      ...(await believed(app, call, state)),
      `${DEFAULTS.length} figures stand behind the forecast; all with their origin are in the file.`,
      ...set,
      [
        'To set one: ',
        { code: '/trip pace figure:darkFactor value:1.5' },
        '. A climber: ',
        { code: '/trip pace climber:Mara value:0.9' },
      ],
    ],
    files: [
      {
        name: 'figures.txt',
        mime: 'text/plain',
        bytes: new TextEncoder().encode(`${rows.join('\n\n')}\n`),
      },
    ],
    private: true,
  };
}
