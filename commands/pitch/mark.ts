import type { App } from '../../src/app/app.ts';
import type { Args, Call } from '../../src/app/command.ts';
import { unlessCostly } from '../../src/app/forecast/costly.ts';
import { askLeaving } from '../../src/app/leaving-plan.ts';
import { progressLines } from '../../src/app/progress.ts';
import { type Told, toldTime } from '../../src/app/when.ts';
import { climberMeant } from '../../src/app/who.ts';
import { changeTimeButton, toldWords, tookWords, undoButtons } from '../../src/app/words/post.ts';
import { pitchesDone } from '../../src/forecast/plan-days.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Button, Reply } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { Draft, Fact } from '../../src/trip/fact.ts';
import {
  doneByDraft,
  type Marked,
  type MarkName,
  markDraft,
  markOf,
} from '../../src/trip/kinds/pitch.ts';
import { leads } from '../../src/trip/rotation.ts';
import { list } from '../../src/trip/rules/pitches.ts';
import {
  climbers,
  currentPitch,
  linkEndsAt,
  linkStartsAt,
  type TripState,
} from '../../src/trip/state.ts';
import { ropesBelow } from '../../src/trip/two-ropes.ts';
import { askBack } from './ask-back.ts';
import type { markOptions } from './options.ts';
import { PATH, refuseMark } from './refuse-mark.ts';
import { type WetPost, wetDrafts } from './wet.ts';

export type MarkArgs = Args<typeof markOptions>;

/** Posts that a pitch was started, fixed or done: now or at another time, by whoever is on the roster. */
export function postMark(app: App, call: Call, mark: MarkName, args: MarkArgs): Promise<Reply> {
  let told: Told | undefined;
  return change(app, call, {
    decide({ state }) {
      told = toldTime(state, call, args.at);
      return drafts(state, mark, args, told);
    },
    ask: (changed) =>
      args.sure === true
        ? undefined
        : askBack(changed, { call, mark, args, atMs: told?.atMs ?? call.atMs }),
    async answer({ after, events }) {
      const asked = await leaving(app, after, events, call.atMs);
      return {
        lines: [
          understood(after, events, call.atMs),
          ...(told?.note === undefined ? [] : [told.note]),
          ...(await progressLines(app, after, call.atMs)),
          ...departHint(after),
          ...(asked?.lines ?? []),
        ],
        buttons: [...(asked?.buttons ?? []), ...buttons(events)],
      };
    },
    refuse: (found, loaded) =>
      refuseMark(found, loaded.state, { call, mark, args, atMs: told?.atMs ?? call.atMs }),
  });
}

/** Where the post has them leave the plan, they are asked; a post never fails for it. */
async function leaving(app: App, state: TripState, events: readonly Fact[], nowMs: number) {
  const last = events.at(-1);
  const mark = last === undefined ? undefined : markOf(last);
  if (last === undefined || mark?.mark !== 'done' || mark.pitch !== pitchesDone(state))
    return undefined;
  try {
    return await unlessCostly(askLeaving(app, state, last.atMs, nowMs));
  } catch (error) {
    app.log.error({ err: error }, 'the question about the plan failed');
    return undefined;
  }
}

function drafts(state: TripState, mark: MarkName, args: MarkArgs, told: Told): Draft[] {
  const meant = args.number ?? meantNumber(state);
  const first = firstOf(state, mark, args.from, meant);
  // A link is started at its lower end only.
  const last = mark === 'started' && args.from === undefined ? first : meant;
  const leader = args.leader === undefined ? undefined : climberMeant(state, args.leader).id;
  const planned = leads(state);
  const options = {
    number: last,
    at: new Date(told.atMs).toISOString(),
    ...(args.leader === undefined ? {} : { leader: args.leader }),
    ...(args.from === undefined ? {} : { from: args.from }),
  };
  const out: Draft[] = wetDrafts(state, {
    ...{ mark, pitch: last, dry: args.dry, atMs: told.atMs },
    press: { path: PATH[mark], options } as WetPost['press'],
  });
  for (let pitch = first; pitch <= last; pitch++) {
    // Whoever starts on a pitch, or fixes it, has those below behind them.
    const below = args.from !== undefined && pitch < last;
    const here = below ? 'done' : mark;
    const who = (below ? undefined : leader) ?? planned[pitch - 1]?.leader;
    const when = {
      atMs: told.atMs,
      ...(told.typed === undefined ? {} : { typed: told.typed }),
    };
    const draft = below && args.unknown === true ? doneByDraft(pitch) : markDraft(here, pitch, who);
    out.push({ ...draft, ...when });
  }
  return out;
}

/** Without a number it is the pitch under way; of a link, its upper end when done. */
function meantNumber(state: TripState): number {
  const pitch = currentPitch(state);
  if (pitch !== undefined)
    return linkStartsAt(state, pitch.number) ? pitch.number + 1 : pitch.number;
  if (state.pitches.length === 0) {
    throw new Refusal('no-topo', [
      'There is no topo yet.',
      '/topo load takes a CSV file; /topo edit number:1 takes one pitch.',
    ]);
  }
  const [behind] = ropesBelow(state);
  if (behind !== undefined) {
    throw new Refusal(
      'nothing-left',
      ['The rope in front has done them all.', 'Of the one behind:'],
      [
        {
          label: `Theirs: ${behind.pitch + 1} done`,
          press: { path: 'pitch done', options: { rope: behind.rope, number: behind.pitch + 1 } },
        },
      ],
    );
  }
  throw new Refusal('nothing-left', [
    `All ${state.pitches.length} pitches are done.`,
    'When everyone is down: /trip down.',
  ]);
}

/** The lower half of a link is told with the upper, unless it was told before. */
function firstOf(state: TripState, mark: MarkName, from: number | undefined, last: number): number {
  if (from !== undefined) return Math.min(from, last);
  const lower = state.pitches[last - 2];
  return linkEndsAt(state, last) && lower !== undefined && lower[mark] === undefined
    ? last - 1
    : last;
}

function understood(state: TripState, events: readonly Fact[], nowMs: number): string {
  const last = events.at(-1) as Fact;
  const marks = events.flatMap((fact) => markOf(fact) ?? []);
  const { mark, pitch } = marks.at(-1) as Marked;
  const numbersOf = (name: MarkName) => marks.flatMap((m) => (m.mark === name ? [m.pitch] : []));
  const untimed = events.filter((e) => 'timeUnknown' in e.data).map((e) => markOf(e)?.pitch ?? 0);
  const marked = numbersOf(mark).filter((n) => !untimed.includes(n));
  const below = mark === 'done' ? untimed : numbersOf('done');
  const by = untimed.length === 0 ? '' : `, ${untimed.length === 1 ? 'time' : 'times'} not known,`;
  const what = below.length === 0 ? '' : `${subject(below)} done${by} and `;
  const whole = `${what}${what === '' ? subject(marked) : `pitch ${list(marked)}`} ${mark}`;
  const isOneLead = marked.length === 1 || linkStartsAt(state, marked[0] ?? 0);
  const took = mark === 'done' && isOneLead ? tookWords(state, pitch, marked[0]) : '';
  const at = dayClock(state.zone, last.atMs, nowMs);
  return `${whole} at ${at}${toldWords(state, last)}${took === '' ? '' : `: ${took}`}.`;
}

function subject(numbers: readonly number[]): string {
  return `${numbers.length === 1 ? 'Pitch' : 'Pitches'} ${list(numbers)}`;
}

function buttons(events: readonly Fact[]): Button[] {
  const only = events.length === 1 ? events[0] : undefined;
  return [...undoButtons(events), ...(only === undefined ? [] : [changeTimeButton(only.seq)])];
}

/** A party that climbs without having departed is not watched: said each time until it is mended. */
function departHint(state: TripState): string[] {
  return state.departedAtMs === undefined && climbers(state).length > 0
    ? ['Not departed yet, so nobody is watching the clock: /trip depart']
    : [];
}
