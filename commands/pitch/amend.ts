import { type Args, type Call, sub } from '../../src/app/command.ts';
import { noteOption, pitchOption, toldAtOption } from '../../src/app/options.ts';
import { progressLines } from '../../src/app/progress.ts';
import { exactTime, toldTime } from '../../src/app/when.ts';
import { climberMeant } from '../../src/app/who.ts';
import { entryWords, undoButtons } from '../../src/app/words/post.ts';
import { type Changed, change, refusalOf } from '../../src/record/change.ts';
import type { PressOf } from '../../src/say/press.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { effective } from '../../src/trip/effective.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import { actOf } from '../../src/trip/kinds/acts.ts';
import { markOf } from '../../src/trip/kinds/pitch.ts';
import { mendOther, type No } from '../../src/trip/rules/no.ts';
import type { TripState } from '../../src/trip/state.ts';
import { askMoved } from './ask-back.ts';
import { type EntryArgs, entryMeant } from './entry.ts';
import { entryOptions, leaderOption } from './options.ts';
import { isHeld, wetDrafts } from './wet.ts';

const options = {
  ...entryOptions,
  at: { ...toldAtOption, description: 'When it really was' },
  to: pitchOption('The pitch it should have named'),
  leader: leaderOption('Who really led'),
  /** Who said that the rock is dry: asked inside the wet-rock hold. */
  dry: { ...noteOption('Asked before'), hidden: true },
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'pitch amend': typeof options;
  }
}

/** Mends a post: another time, pitch or leader. The old words stay in the record. */
export const amend = sub({
  description: 'Mend a post: another time, pitch or leader',
  access: 'post',
  options,
  run(call, args, app) {
    let note: string | undefined;
    return change(app, call, {
      decide({ state }) {
        const { event } = entryMeant(state, call, args);
        const stands = standing(state, event.id) ?? event;
        // Yesterday's post is mended to a time of yesterday.
        const told =
          args.at === undefined ? undefined : toldTime(state, call, args.at, 'past', stands.atMs);
        note = told?.note;
        return [
          ...wetAgain(state, stands, told?.atMs ?? stands.atMs, event.seq, args),
          {
            kind: 'log.amended',
            data: {
              target: event.id,
              ...(told === undefined ? {} : { atMs: told.atMs }),
              ...(args.to === undefined ? {} : { pitch: args.to }),
              ...(args.leader === undefined ? {} : { leader: climberMeant(state, args.leader).id }),
            },
            ...(told?.typed === undefined ? {} : { typed: told.typed }),
          },
        ];
      },
      ask: (changed) =>
        args.sure === true
          ? undefined
          : askMoved(changed, (more) => again(changed, call, args, more)),
      async answer({ after, events }) {
        const aim = actOf(events.at(-1) as Fact);
        const id = aim !== undefined && 'target' in aim ? aim.target : '';
        const target = after.entries.find((e) => e.event.id === id);
        const stands = standing(after, id);
        const words = stands === undefined ? 'a post' : entryWords(after, stands, call.atMs);
        return {
          lines: [
            `Amended: ${words} (entry ${target?.event.seq}).`,
            ...(note === undefined ? [] : [note]),
            ...(await progressLines(app, after, call.atMs)),
          ],
          buttons: undoButtons(events),
        };
      },
      refuse: (found, { state }) => refuse(found, state, call, args),
    });
  },
});

type AmendArgs = Args<typeof options>;
type Press = PressOf<'pitch amend'>;

/** The same once more, with what was asked. */
function again(
  { before }: Changed,
  call: Call,
  args: AmendArgs,
  more: { sure?: true; at?: false },
): Press {
  const { event } = entryMeant(before, call, args);
  const stands = standing(before, event.id) ?? event;
  const at =
    args.at === undefined || more.at === false
      ? {}
      : { at: exactTime(toldTime(before, call, args.at, 'past', stands.atMs).atMs) };
  return {
    path: 'pitch amend',
    options: { ...kept(event.seq, args), ...at, ...(more.sure ? { sure: true } : {}) },
  };
}

function kept(entry: number, { to, leader }: AmendArgs) {
  return {
    entry,
    ...(to === undefined ? {} : { to }),
    ...(leader === undefined ? {} : { leader }),
  };
}

/** A mark that is moved into the wet-rock hold is asked back as one that is posted there. */
function wetAgain(
  state: TripState,
  stands: Fact,
  toMs: number,
  entry: number,
  args: AmendArgs,
): Draft[] {
  const marked = markOf(stands);
  // A mark that stood in the hold was asked about when it was posted.
  if (marked === undefined || isHeld(state, marked.mark, marked.pitch, stands.atMs)) return [];
  const pitch = args.to ?? marked.pitch;
  return wetDrafts(state, {
    ...{ mark: marked.mark, pitch, atMs: toMs, dry: args.dry },
    press: { path: 'pitch amend', options: { ...kept(entry, args), at: exactTime(toMs) } },
  });
}

/** A post as it reads now, its amendments applied; undefined when it is struck. */
function standing(state: TripState, id: string): Fact | undefined {
  return effective(state.entries.map((e) => e.event)).facts.find((e) => e.id === id);
}

/** Two times contradict each other, and one is the post being mended: the way out is the other. */
function refuse(found: No, state: TripState, call: Call, args: EntryArgs): Refusal {
  if (found.clash === undefined) return refusalOf(found);
  const own = entryMeant(state, call, args).event.seq;
  return new Refusal(found.rule, [found.text, mendOther(found.clash, own)]);
}
