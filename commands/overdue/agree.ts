import { phaseNow } from '../../src/alarm/ladder.ts';
import { alarmStands, planSeq } from '../../src/alarm/weaker.ts';
import { nextOpen } from '../../src/alarm/words/home.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import { faced, wordsToward } from '../../src/app/toward.ts';
import { undoButtons } from '../../src/app/words/post.ts';
import { change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { TripState } from '../../src/trip/state.ts';

const options = {
  entry: {
    type: 'integer',
    description: 'Which entry of the log; the newest one asked for when left out',
  },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue agree': typeof options;
  }
}

/** What was asked for longer ago than this is asked for anew. Engineering choice. */
const WAITS_MS = 6 * 3_600_000;

/** Makes a change that weakens the watch: a second press, and a second person while an alarm stands. */
export const agree = sub({
  description: 'Agree to a change that takes something from the watch',
  access: 'act',
  options,
  run: (call, { entry }, app) =>
    change(app, call, {
      weakens: 'agreed',
      decide({ state }) {
        const asked = askedMeant(state, entry);
        mustHold(state, asked, call);
        // Checked like any other when it is recorded.
        const drafts = asked.drafts as unknown as Draft[];
        return [{ kind: 'watch.agreed', data: { asked: asked.seq } }, ...drafts];
      },
      answer({ before, after, events }) {
        const w = wordsToward(after, call);
        const undo = undoButtons(events.slice(1)).map((b) => faced(w, b));
        return {
          lines: [
            w.say('done.agreed'),
            ...askedMeant(before, entry).words,
            ...nextOpen({ w, state: after, nowMs: call.atMs }),
          ],
          buttons: after.closedAtMs === undefined ? undo : [],
        };
      },
    }),
});

type Asked = TripState['watch']['asked'][number];

function askedMeant({ watch }: TripState, entry: number | undefined): Asked {
  const open = watch.asked.filter((a) => !watch.agreed.some((g) => g.asked === a.seq));
  const found = entry === undefined ? open.at(-1) : watch.asked.find((a) => a.seq === entry);
  if (found === undefined)
    throw new Refusal('no-such-entry', 'Nothing waits for somebody to agree.');
  if (!open.includes(found)) throw new Refusal('already-so', 'That was agreed to already.');
  return found;
}

/**
 * What was asked for belongs to the plan as it was then, and to whoever asked.
 *
 * @throws Refusal when it no longer fits, or has to be somebody else's
 */
function mustHold(state: TripState, asked: Asked, call: Call): void {
  const old = call.atMs - asked.atMs > WAITS_MS;
  const alarm = phaseNow(state)?.seq;
  const moved = planSeq(state) !== asked.plan || state.downAtMs !== undefined;
  if (old || moved || (asked.alarm !== undefined && asked.alarm !== alarm)) {
    throw new Refusal('button-over', [
      `${old ? 'That was asked for hours ago' : 'Things have changed since that was asked for'}; nothing is changed.`,
      ['What holds now: ', { code: '/checkin plan' }, '. Ask for it anew if it is still meant.'],
    ]);
  }
  if (!alarmStands(state)) return;
  const [asker, other] = [personOf(state, asked.by.id), personOf(state, call.actor.id)];
  const same = asker === undefined ? asked.by.id === call.actor.id : asker.id === other?.id;
  if (!same) return;
  throw new Refusal('second-person', [
    'An alarm stands, so somebody else of the roster has to agree to what you asked for.',
    'Nothing is changed yet.',
  ]);
}
