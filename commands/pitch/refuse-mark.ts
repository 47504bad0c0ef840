import type { Call } from '../../src/app/command.ts';
import { exactTime } from '../../src/app/when.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { MarkName } from '../../src/trip/kinds/pitch.ts';
import type { No } from '../../src/trip/rules/no.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import { currentPitch, pitchAt, type TripState } from '../../src/trip/state.ts';
import type { MarkArgs } from './mark.ts';

/** The subcommand that posts a mark. */
export const PATH = { started: 'pitch start', fixed: 'pitch fixed', done: 'pitch done' } as const;

/** What was to be posted, and for when. */
export interface Post {
  call: Call;
  mark: MarkName;
  args: MarkArgs;
  atMs: number;
}

/** A rule's no to a post of a pitch, with buttons that do what was probably meant. */
export function refuseMark(found: No, state: TripState, post: Post): Refusal {
  if (found.rule === 'told-twice') return refuseTwice(found, state, post);
  const offers = offersBelow(found, state, post);
  const ways = offers.length > 0 ? [] : (found.ways ?? []);
  return new Refusal(found.rule, [found.text, ...ways], offers);
}

/** Pitches below aren't done: tell them too, or one of them instead. */
function offersBelow(found: No, state: TripState, { mark, args, atMs }: Post): Button[] {
  const lowest = currentPitch(state)?.number;
  const { missing, pitch } = found;
  if (missing === undefined || pitch === undefined || lowest === undefined) return [];
  if (lowest >= pitch) return [];
  const at = exactTime(atMs);
  const path = PATH[mark];
  const below = Array.from({ length: pitch - lowest }, (_, i) => lowest + i);
  const keep = args.leader === undefined ? {} : { leader: args.leader };
  const what = mark === 'done' ? 'as well, same time' : 'done by then';
  const isTold = pitchAt(state, lowest)?.[mark] !== undefined;
  return [
    {
      label: `${list(below)} ${what}`,
      press: { path, options: { number: pitch, at, from: lowest, ...keep } },
    },
    {
      label: `${list(below)} as well, ${below.length === 1 ? 'time' : 'times'} not known`,
      press: { path, options: { number: pitch, at, from: lowest, unknown: true, ...keep } },
    },
    ...(isTold
      ? []
      : [
          { label: `I meant ${lowest}`, press: { path, options: { number: lowest, at, ...keep } } },
        ]),
  ];
}

/** Told before: the same is nothing new, another time may be the right one. */
function refuseTwice(found: No, state: TripState, { call, atMs }: Post): Refusal {
  const { pitch, mark, seq } = found;
  const stands =
    pitch === undefined || mark === undefined ? undefined : pitchAt(state, pitch)?.[mark];
  if (stands?.atMs === atMs && stands.timeUnknown !== true)
    return new Refusal(found.rule, [found.text, 'Nothing to change.']);
  if (seq === undefined) return new Refusal(found.rule, [found.text]);
  return new Refusal(
    found.rule,
    [found.text],
    [
      {
        label: `Use ${dayClock(state.zone, atMs, call.atMs)} instead`,
        press: { path: 'pitch amend', options: { entry: seq, at: new Date(atMs).toISOString() } },
      },
    ],
  );
}
