import { type Args, type Suggest, sub } from '../../src/app/command.ts';
import { pitchOption } from '../../src/app/options.ts';
import { present, shortNights } from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { pitchFacts } from '../../src/app/words/topo.ts';
import { LIMITS } from '../../src/limits.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import type { PitchData, TopoPitch } from '../../src/trip/topo.ts';
import * as cells from './cells.ts';

const RAPPEL = ['yes', 'no', 'unknown', 'traverse', 'roof'];
const suggestRappel: Suggest = async (_call, typed) =>
  RAPPEL.filter((word) => word.startsWith(typed.trim().toLowerCase())).map((word) => ({
    name: word,
    value: word,
  }));

const options = {
  number: { ...pitchOption('Pitch number'), required: true },
  length: { type: 'string', description: 'Like 38, 38 m or 125 ft', maxLength: 12 },
  free: {
    type: 'string',
    description: '5.10a, 6b+, VII-; "5.12a or C1" where the leader chooses',
    maxLength: 24,
  },
  aid: { type: 'string', description: 'A0–A5, C0–C5', maxLength: 4 },
  stance: {
    type: 'string',
    description: 'At the top of the pitch',
    choices: [
      { name: 'ledge', value: 'ledge' },
      { name: 'semi-hanging', value: 'semi' },
      { name: 'hanging', value: 'hanging' },
    ],
  },
  bivy: {
    type: 'string',
    description: 'none, portaledge, or ledge 3 for three places',
    maxLength: 20,
  },
  rappel: {
    type: 'string',
    description: 'From its anchor: yes, no, unknown; traverse, roof: no rope goes back over it',
    maxLength: 10,
    suggest: suggestRappel,
  },
  minutes: {
    type: 'number',
    description: 'Your own figure for the whole pitch, as where you move together',
    min: 1,
    max: 1440,
  },
  note: { type: 'string', description: 'Anything to remember', maxLength: LIMITS.noteLength },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'topo edit': typeof options;
  }
}

/** Changes one pitch, or adds the next one; what isn't named stays as it is. */
export const edit = sub({
  description: 'Change a pitch, or add the next one; "none" takes a grade away',
  access: 'post',
  options,
  run(call, args, app) {
    const { number } = args;
    return change(app, call, {
      decide({ state }): Draft[] {
        const last = state.pitches.length;
        if (number > last + 1) {
          throw new Refusal('not-the-last-pitch', [
            `The topo has ${last} ${last === 1 ? 'pitch' : 'pitches'}, so ${last + 1} comes next.`,
            `/topo edit number:${last + 1} length: adds it.`,
          ]);
        }
        return [{ kind: 'topo.set', data: { pitch: merged(state, args) } }];
      },
      answer({ before, after, events }) {
        const pitch = pitchAt(after, number);
        const added = number > before.pitches.length;
        const short = after.bivyPlan.includes(number) ? shortNights(after) : undefined;
        return {
          lines: present([
            `Pitch ${number} ${added ? 'added' : 'changed'}: ${pitch === undefined ? '' : pitchFacts(after, pitch)}.`,
            short,
          ]),
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});

/** What "none" takes away; a pitch keeps its length and its stance. */
const CLEARED: ReadonlySet<keyof typeof options> = new Set(['free', 'aid', 'note']);

function merged(state: TripState, args: Args<typeof options>): PitchData {
  const { number } = args;
  const problems: string[] = [];
  const take = <T>(
    name: keyof typeof options,
    read: (text: string) => cells.Cell<T>,
  ): T | undefined | null => {
    const text = args[name];
    if (typeof text !== 'string') return undefined;
    if (text.trim().toLowerCase() === 'none' && CLEARED.has(name)) return null;
    const cell = read(text.trim());
    if ('value' in cell) return cell.value;
    problems.push(cells.mistake(name, text, cell.problem));
    return undefined;
  };
  const bivy = take('bivy', cells.bivyCell);
  const changes: Record<string, unknown> = {
    lengthM: take('length', (text) => cells.lengthCell(text, state.units)),
    ...grades(args, take),
    stance: take('stance', cells.stanceCell),
    note: take('note', cells.noteCell),
    expectedMin: args.minutes,
    rappel: /^(unknown|not known|\?)$/iu.test(args.rappel?.trim() ?? '')
      ? null
      : take('rappel', cells.rappelCell),
    ...(bivy ? { bivy: bivy.bivy, places: bivy.places ?? null } : {}),
  };
  const before = pitchAt(state, number);
  if (before === undefined && args.length === undefined) {
    problems.push(`length: pitch ${number} is new and needs one, like length:38`);
  }
  if (problems.length > 0) throw new Refusal('unreadable-value', problems);
  const data: Record<string, unknown> = before === undefined ? fresh(number) : dataOf(before);
  for (const [key, value] of Object.entries(changes)) {
    if (value === null) delete data[key];
    else if (value !== undefined) data[key] = value;
  }
  return data as PitchData;
}

type Take = <T>(
  name: keyof typeof options,
  read: (text: string) => cells.Cell<T>,
) => T | undefined | null;

/** The grades typed; a grade typed alone ends a choice between free and aid. */
function grades({ free, aid }: Args<typeof options>, take: Take): Record<string, unknown> {
  const choice = free === undefined ? undefined : cells.eitherCell(free);
  if (choice !== undefined) {
    const both = take('free', () => choice);
    return both ? { ...both, either: true } : {};
  }
  const isAlone = free !== undefined || aid !== undefined;
  return {
    free: take('free', cells.freeCell),
    aid: take('aid', cells.aidCell),
    ...(isAlone ? { either: null } : {}),
  };
}

function fresh(number: number): Record<string, unknown> {
  return { number, stance: 'hanging', bivy: 'none' };
}

function dataOf(pitch: TopoPitch): Record<string, unknown> {
  const { number, lengthM, free, aid, either, stance, bivy, places, rappel, note, expectedMin } =
    pitch;
  const all = {
    number,
    lengthM,
    free: free?.text,
    aid: aid?.text,
    either,
    stance,
    bivy,
    places,
    rappel,
    note,
    expectedMin,
  };
  return Object.fromEntries(Object.entries(all).filter(([, v]) => v !== undefined));
}
