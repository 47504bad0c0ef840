import { PLAN_LABEL } from '../../src/alarm/sheet-text.ts';
import { contacts } from '../../src/alarm/who.ts';
import { type Call, sub } from '../../src/app/command.ts';
import { toldAtOption } from '../../src/app/options.ts';
import { warnings, watchWords } from '../../src/app/watch/warnings.ts';
import { toldTime } from '../../src/app/when.ts';
import { departureChecks } from '../../src/app/words/checks.ts';
import { changeTimeButton, undoButton } from '../../src/app/words/post.ts';
import { missingWords } from '../../src/app/words/trip.ts';
import { change, refusalOf } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { PLAN_TIMES } from '../../src/trip/kinds/watch-plan.ts';
import type { No } from '../../src/trip/rules/no.ts';
import type { TripState } from '../../src/trip/state.ts';
import { already } from './already.ts';

const options = { at: toldAtOption } as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'trip depart': typeof options;
  }
}

export const depart = sub({
  description: 'The party has left: from here on silence counts',
  access: 'post',
  options,
  run: (call, { at }, app) =>
    change(app, call, {
      decide({ state }) {
        if (state.departedAtMs !== undefined)
          throw already(state.departedAtMs, 'Departed', state, call);
        const told = toldTime(state, call, at);
        mustLieAhead(state, told.atMs);
        return [{ kind: 'trip.departed', data: {}, ...told }];
      },
      answer({ after, events }) {
        const missing = missingWords(after);
        const seq = events[0]?.seq ?? 0;
        return {
          lines: [
            `Departed at ${dayClock(after.zone, after.departedAtMs ?? call.atMs, call.atMs)}.`,
            ...(missing.length === 0 ? [] : [`Warning: still missing ${missing.join(', ')}.`]),
            ...(contacts(after).length === 0
              ? ['Warning: NOBODY AT HOME is told if you are late: /roster add role:contact']
              : []),
            ...warnings(after, app.withoutMail()).map((w) => `Warning: ${w}`),
            ...failed(after, call.atMs),
            ...watchWords(after, call.atMs),
          ],
          buttons: [undoButton(seq), changeTimeButton(seq)],
        };
      },
      refuse: (found, { state }) => departNo(found, state, call),
    }),
});

/** Checks that fail, but those of home, which have warnings of their own. */
function failed(state: TripState, nowMs: number): string[] {
  return departureChecks(state, nowMs)
    .filter((c) => c.is === 'no' && c.name !== 'Home')
    .map((c) => `Warning: ${c.name}: ${c.words}`);
}

/**
 * A time that has passed at the departure would watch nothing: it is agreed anew, or taken away.
 *
 * @throws Refusal that names it
 */
function mustLieAhead(state: TripState, atMs: number): void {
  const passed = PLAN_TIMES.filter((time) => (state.watch.plan[time] ?? atMs + 1) <= atMs);
  if (passed.length === 0) return;
  const names = passed.map((time) => PLAN_LABEL[time].toLowerCase()).join(', ');
  throw new Refusal(
    'time-past',
    [
      `What was agreed has passed: ${names}. It would watch nothing.`,
      ['Agree it anew, or take it away: ', { code: '/checkin plan down: callout:' }],
    ],
    [
      {
        label: 'Agree new times',
        press: { path: 'checkin plan', options: {} },
        ask: {
          title: 'New times',
          fields: [
            { name: 'down', label: 'Everyone down by', placeholder: 'fri 18:00' },
            { name: 'callout', label: 'Call-out time', placeholder: 'fri 22:00' },
          ],
        },
      },
    ],
  );
}

/** Pitches were told before anybody thought of departing: then the party left with the first of them. */
function departNo(found: No, state: TripState, call: Call): Refusal {
  if (found.rule !== 'depart-after-pitch') return refusalOf(found);
  const marks = state.pitches.flatMap((p) => [p.started, p.fixed, p.done]);
  const firstMs = Math.min(...marks.flatMap((m) => (m === undefined ? [] : [m.atMs])));
  return new Refusal(
    found.rule,
    [
      `Pitches were told from ${dayClock(state.zone, firstMs, call.atMs)} on, so you left before.`,
      'Say when: /trip depart at:',
    ],
    [
      {
        label: `Departed ${dayClock(state.zone, firstMs, call.atMs)}`,
        press: { path: 'trip depart', options: { at: new Date(firstMs).toISOString() } },
      },
    ],
  );
}
