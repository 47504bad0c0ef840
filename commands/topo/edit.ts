import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { pitchFacts } from '../../src/app/words/topo.ts';
import { change, type Draft } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { pitchAt, type TripState } from '../../src/trip/state.ts';
import type { PitchData, TopoPitch } from '../../src/trip/topo.ts';
import * as cells from './cells.ts';

export interface PitchInput {
  length?: string | undefined;
  free?: string | undefined;
  aid?: string | undefined;
  stance?: string | undefined;
  bivy?: string | undefined;
  rappel?: boolean | undefined;
  minutes?: number | undefined;
  note?: string | undefined;
}

/** Changes one pitch, or adds the next one; what isn't named stays as it is. */
export function editPitch(app: App, call: Call, number: number, input: PitchInput): Promise<Reply> {
  return change(app, call, {
    decide({ state }): Draft[] {
      const last = state.pitches.length;
      if (number > last + 1) {
        throw new Refusal([
          `The topo has ${last} ${last === 1 ? 'pitch' : 'pitches'}, so ${last + 1} comes next.`,
          `/topo edit number:${last + 1} length: adds it.`,
        ]);
      }
      return [{ kind: 'topo.set', data: { pitch: merged(state, number, input) } }];
    },
    answer({ before, after, events }) {
      const pitch = pitchAt(after, number);
      const added = number > before.pitches.length;
      return {
        lines: [
          `Pitch ${number} ${added ? 'added' : 'changed'}: ${pitch === undefined ? '' : pitchFacts(after, pitch)}.`,
        ],
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

/** Takes the topmost pitch off; others would renumber what was told. */
export function removePitch(app: App, call: Call, number: number): Promise<Reply> {
  return change(app, call, {
    decide({ state }) {
      if (state.pitches.length === 0) throw new Refusal('There is no topo; nothing to take off.');
      if (number !== state.pitches.length) {
        throw new Refusal([
          `Only the last pitch (${state.pitches.length}) can be taken off: the others' numbers are in the record.`,
          '/topo edit changes any of them; /topo load replaces the whole topo.',
        ]);
      }
      return [{ kind: 'topo.removed', data: { number } }];
    },
    answer: ({ after, events }) => ({
      lines: [`Pitch ${number} is off the topo; ${after.pitches.length} are left.`],
      buttons: [undoButton(events[0]?.seq ?? 0)],
    }),
  });
}

/** What "none" takes away; a pitch keeps its length and its stance. */
const CLEARED: ReadonlySet<keyof PitchInput> = new Set(['free', 'aid', 'note']);

function merged(state: TripState, number: number, input: PitchInput): PitchData {
  const problems: string[] = [];
  const take = <T>(
    name: keyof PitchInput,
    read: (text: string) => cells.Cell<T>,
  ): T | undefined | null => {
    const text = input[name];
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
    free: take('free', cells.freeCell),
    aid: take('aid', cells.aidCell),
    stance: take('stance', cells.stanceCell),
    note: take('note', cells.noteCell),
    expectedMin: input.minutes,
    rappel: input.rappel,
    ...(bivy ? { bivy: bivy.bivy, places: bivy.places ?? null } : {}),
  };
  const before = pitchAt(state, number);
  if (before === undefined && input.length === undefined) {
    problems.push(`length: pitch ${number} is new and needs one, like length:38`);
  }
  if (problems.length > 0) throw new Refusal(problems);
  const data: Record<string, unknown> = before === undefined ? fresh(number) : dataOf(before);
  for (const [key, value] of Object.entries(changes)) {
    if (value === null) delete data[key];
    else if (value !== undefined) data[key] = value;
  }
  return data as PitchData;
}

function fresh(number: number): Record<string, unknown> {
  return { number, stance: 'hanging', bivy: 'none', rappel: false };
}

function dataOf(pitch: TopoPitch): Record<string, unknown> {
  const { number, lengthM, free, aid, stance, bivy, places, rappel, note, expectedMin } = pitch;
  const all = {
    number,
    lengthM,
    free: free?.text,
    aid: aid?.text,
    stance,
    bivy,
    places,
    rappel,
    note,
    expectedMin,
  };
  return Object.fromEntries(Object.entries(all).filter(([, v]) => v !== undefined));
}
