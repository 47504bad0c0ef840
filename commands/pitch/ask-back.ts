import { exactTime } from '../../src/app/when.ts';
import type { Changed } from '../../src/record/change.ts';
import type { PressOf } from '../../src/say/press.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button } from '../../src/say/reply.ts';
import { dayClock, duration } from '../../src/time/format.ts';
import { markOf } from '../../src/trip/kinds/pitch.ts';
import { type Mark, pitchAt, type TripState } from '../../src/trip/state.ts';
import { type TooQuick, tooQuick } from '../../src/trip/too-quick.ts';
import { lengthText } from '../../src/trip/units.ts';
import { PATH, type Post as Told } from './refuse-mark.ts';

/** Two people's posts of one pitch come within these minutes. Engineering choice. */
const SAME_POST_MIN = 15;

/** Asks back a post that is possible but unlikely; undefined when it may be recorded as it is. */
export function askBack({ before, after, events }: Changed, told: Told): Refusal | undefined {
  const last = events.at(-1);
  const number = last === undefined ? undefined : markOf(last)?.pitch;
  if (number === undefined) return undefined;
  const post = { ...told, number };
  const known = new Set(tooQuick(before).map(keyOf));
  const quick = tooQuick(after).find((each) => !known.has(keyOf(each)));
  if (quick !== undefined) return askQuick(before, quick, post);
  return askSame(before, after, post);
}

/** Asks back an amendment that makes a pitch quicker than anybody is; undefined when it may stand. */
export function askMoved(
  { before, after }: Changed,
  again: (more: { sure?: true; at?: false }) => PressOf<'pitch amend'>,
): Refusal | undefined {
  const known = new Set(tooQuick(before).map(keyOf));
  const quick = tooQuick(after).find((each) => !known.has(keyOf(each)));
  if (quick === undefined) return undefined;
  const took = duration(quick.minutes);
  const from = dayClock(after.zone, quick.from.told.atMs, quick.told.atMs);
  const until = dayClock(after.zone, quick.told.atMs, quick.from.told.atMs);
  return new Refusal(
    'hardly-true',
    [
      `Pitch ${quick.pitch}${quick.mark === 'fixed' ? ' led' : ''} in ${took}, ${lengthText(quick.lengthM, after.units)}? That would be from ${from} to ${until}.`,
      'Nothing is changed yet.',
    ],
    [
      { label: `Yes, ${took}`, press: again({ sure: true }) },
      {
        label: 'Another time',
        press: again({ at: false }),
        ask: {
          title: 'Another time',
          fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m' }],
        },
      },
    ],
  );
}

/** What was to be posted, the pitch it came to included. */
interface Post extends Told {
  number: number;
}

const keyOf = ({ pitch, mark }: TooQuick) => `${pitch} ${mark}`;

/** A pitch, or a lead, in fewer minutes than anybody needs. */
function askQuick(before: TripState, quick: TooQuick, post: Post): Refusal {
  const { pitch, minutes, lengthM, from } = quick;
  const took = duration(minutes);
  const what = quick.mark === 'fixed' ? `Pitch ${pitch} led` : `Pitch ${pitch}`;
  return new Refusal(
    'hardly-true',
    [
      `${what} in ${took}, ${lengthText(lengthM, before.units)}? ${counted(before, from, post)}`,
      'Nothing is recorded yet.',
    ],
    [
      yes(post, `Yes, ${took}`),
      ...(from.mark === 'done' ? meantBelow(before, from.pitch, from.told, post) : []),
      anotherTime(post),
    ],
  );
}

/** Somebody else told the pitch below a moment ago, and this post names none. */
function askSame(before: TripState, after: TripState, post: Post): Refusal | undefined {
  const { call, mark, args, atMs, number } = post;
  if (mark !== 'done' || args.number !== undefined || args.from !== undefined) return undefined;
  const first = after.pitches.find(
    (p) => p.done !== undefined && pitchAt(before, p.number)?.done === undefined,
  );
  const below = pitchAt(before, (first?.number ?? 0) - 1)?.done;
  if (first === undefined || below === undefined || first.started !== undefined) return undefined;
  if (below.by.id === call.actor.id || atMs - below.atMs >= SAME_POST_MIN * 60_000)
    return undefined;
  const from = { pitch: first.number - 1, mark: 'done', told: below } as const;
  return new Refusal(
    'hardly-true',
    [
      `Is this pitch ${number}? ${counted(before, from, post)}`,
      `If it is the same pitch, there is nothing to do. Nothing is recorded yet.`,
    ],
    [yes(post, `Yes, pitch ${number}`), ...meantBelow(before, from.pitch, below, post)],
  );
}

/** `Pitch 5 was done at 14:18 (told 14:20 by Greta).` */
function counted(state: TripState, { pitch, mark, told }: TooQuick['from'], { call }: Post) {
  const late = told.recordedAtMs - told.atMs >= 60_000;
  const by = late
    ? ` (told ${dayClock(state.zone, told.recordedAtMs, told.atMs)} by ${told.by.name})`
    : ` (told by ${told.by.name})`;
  return `Pitch ${pitch} was ${mark} at ${dayClock(state.zone, told.atMs, call.atMs)}${by}.`;
}

/** The post again as it was meant then, its pitch named: pressed later, it still speaks of that one. */
function again({ number, mark, args, atMs }: Post) {
  return {
    path: PATH[mark],
    options: {
      number,
      at: exactTime(atMs),
      sure: true,
      ...(args.leader === undefined ? {} : { leader: args.leader }),
      ...(args.from === undefined ? {} : { from: args.from }),
      ...(args.unknown === true ? { unknown: true } : {}),
    },
  } as const;
}

function yes(post: Post, label: string): Button {
  return { label, press: again(post) };
}

/** The pitch below was meant, whose time was told before: it is mended. */
function meantBelow(
  state: TripState,
  pitch: number,
  told: Mark,
  { mark, call, atMs }: Post,
): Button[] {
  if (mark !== 'done' || told.atMs === atMs) return [];
  return [
    {
      label: `I meant ${pitch}, at ${dayClock(state.zone, atMs, call.atMs)}`,
      press: {
        path: 'pitch amend',
        options: { entry: told.seq, at: exactTime(atMs) },
      },
    },
  ];
}

function anotherTime({ number, mark, args }: Post): Button {
  const options = {
    number,
    ...(args.leader === undefined ? {} : { leader: args.leader }),
    ...(args.from === undefined ? {} : { from: args.from }),
    ...(args.unknown === true ? { unknown: true } : {}),
  };
  const ask = {
    title: 'Another time',
    fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m' }],
  } as const;
  const label = 'Another time';
  switch (mark) {
    case 'started':
      return { label, press: { path: 'pitch start', options }, ask };
    case 'fixed':
      return { label, press: { path: 'pitch fixed', options }, ask };
    case 'done':
      return { label, press: { path: 'pitch done', options }, ask };
  }
}
