import { type Options, sub } from '../../src/app/command.ts';
import { type Kept, latestFrom } from '../../src/app/forecast/latest.ts';
import { forecastBeside, forecastOf } from '../../src/app/forecast/run.ts';
import { planOf } from '../../src/app/forecast/standing.ts';
import * as words from '../../src/app/words/forecast.ts';
import { undoButton } from '../../src/app/words/post.ts';
import { freezePlan, type PlannedCheckpoint } from '../../src/forecast/schedule.ts';
import { change } from '../../src/record/change.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { keptWords } from './kept.ts';
import { scheduleTable } from './table.ts';

const options = {} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'schedule set': typeof options;
  }
}

/** Planned times are the middle of the forecast; latest times come from what binds. */
export const set = sub({
  description: 'Freeze the plan as it is forecast now',
  access: 'post',
  options,
  run(call, _args, app) {
    let kept: Kept | undefined;
    return change(app, call, {
      async decide({ state }) {
        const forecast = await forecastOf(app, state, call.atMs);
        if (forecast === undefined) {
          throw new Refusal('no-topo', [
            'No topo yet, so nothing to plan.',
            '/topo load takes a CSV file.',
          ]);
        }
        const open = state.pitches.filter((p) => p.done === undefined);
        if (open.length === 0)
          throw new Refusal('nothing-left', 'All pitches are done; nothing is left to plan.');
        kept = await latestFrom(app, state, forecast, call.atMs);
        const checkpoints = freezePlan(forecast, kept.times);
        if (checkpoints.some((c) => !Number.isFinite(c.plannedMs))) {
          throw new Refusal('no-end-found', [
            'From here no end is found within a week, so no plan can be made.',
            'Is there a place to sleep in the topo? /topo edit number: bivy:',
          ]);
        }
        const { q50 } = forecast.trailhead;
        return [
          {
            kind: 'schedule.set',
            data: {
              checkpoints: checkpoints.map(whole),
              ...(Number.isFinite(q50) ? { trailheadMs: wholeMinute(q50) } : {}),
              confidence: state.confidence,
            },
          },
        ];
      },
      async answer({ before, after, events }) {
        const forecast = await forecastBeside(app, before, call.atMs);
        return {
          lines: words.present([
            before.schedule === undefined
              ? 'Schedule set.'
              : `Schedule revised; the one before stays in the record (entry ${before.schedule.seq}).`,
            forecast && words.headline(after, forecast, call.atMs),
            kept === undefined || kept.labels.size === 0
              ? 'Nothing binds, so there are no latest times: /cutoff add.'
              : keptWords(after, kept),
          ]),
          ...scheduleTable(
            after.zone,
            after.schedule === undefined ? [] : planOf(after.schedule),
            3,
            call.atMs,
          ),
          buttons: [undoButton(events[0]?.seq ?? 0)],
        };
      },
    });
  },
});

const MINUTE = 60_000;

function wholeMinute(ms: number): number {
  return Math.floor(ms / MINUTE) * MINUTE;
}

/** Down to the minute, as the clock shows it; for a latest time that is also the safe side. */
function whole({ pitch, plannedMs, latestMs }: PlannedCheckpoint): PlannedCheckpoint {
  return {
    pitch,
    plannedMs: wholeMinute(plannedMs),
    ...(latestMs === undefined ? {} : { latestMs: wholeMinute(latestMs) }),
  };
}
