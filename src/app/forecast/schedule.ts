import { forecastInput } from '../../forecast/input.ts';
import { type CheckpointStanding, freezePlan } from '../../forecast/schedule.ts';
import { dayClock, duration } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';
import { change } from '../change.ts';
import type { Call } from '../command.ts';
import { Refusal } from '../refusal.ts';
import type { Line, Reply, Table } from '../reply.ts';
import { look } from '../trips.ts';
import * as words from '../words/forecast.ts';
import { undoButton } from '../words/post.ts';
import { forecastOf, runLatest, withShuttle } from './run.ts';
import { standingOf, standingWords } from './standing.ts';

/** Freezes the plan as it is forecast now: planned times in the middle, latest times by what binds. */
export function setSchedule(app: App, call: Call): Promise<Reply> {
  return change(app, call, {
    async decide({ state }) {
      const forecast = await forecastOf(app, state, call.atMs);
      if (forecast === undefined) {
        throw new Refusal(['No topo yet, so nothing to plan.', '/topo load takes a CSV file.']);
      }
      const open = state.pitches.filter((p) => p.done === undefined);
      if (open.length === 0) throw new Refusal('All pitches are done; nothing is left to plan.');
      const input = withShuttle(state, forecastInput(state, call.atMs), forecast.shuttle);
      const latest = input.cutoffs.length === 0 ? [] : await runLatest(app, input);
      const checkpoints = freezePlan(forecast, latest);
      if (checkpoints.some((c) => !Number.isFinite(c.plannedMs))) {
        throw new Refusal([
          'From here no end is found within a week, so no plan can be made.',
          'Is there a place to sleep in the topo? /topo edit number: bivy:',
        ]);
      }
      return [
        {
          kind: 'schedule.set',
          data: {
            checkpoints: checkpoints.map(whole),
            trailheadMs: Math.round(forecast.trailhead.q50),
            confidence: state.confidence,
          },
        },
      ];
    },
    async answer({ before, after, events }) {
      const forecast = await forecastOf(app, before, call.atMs);
      const first = after.schedule?.checkpoints.find((c) => c.latestMs !== undefined);
      return {
        lines: words.present([
          before.schedule === undefined
            ? 'Schedule set.'
            : `Schedule revised; the one before stays in the record (entry ${before.schedule.seq}).`,
          forecast && words.headline(after, forecast, call.atMs),
          first === undefined
            ? 'Nothing binds yet, so there are no latest times: /cutoff add.'
            : `Latest times keep every cutoff at ${Math.round(after.confidence * 100)} %; - where no time does.`,
        ]),
        ...tableOf(after, [], call.atMs),
        buttons: [undoButton(events[0]?.seq ?? 0)],
      };
    },
  });
}

const MINUTE = 60_000;

/** Planned to the nearest minute; latest down to the minute, to be on the safe side. */
function whole(c: { pitch: number; plannedMs: number; latestMs?: number }) {
  return {
    pitch: c.pitch,
    plannedMs: Math.round(c.plannedMs / MINUTE) * MINUTE,
    ...(c.latestMs === undefined ? {} : { latestMs: Math.floor(c.latestMs / MINUTE) * MINUTE }),
  };
}

/** Planned, latest, actual or projected, and ahead or behind. */
export async function showSchedule(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  const forecast = await forecastOf(app, state, call.atMs);
  const standing = forecast && standingOf(state, forecast);
  if (forecast === undefined || standing === undefined || state.schedule === undefined) {
    throw new Refusal([
      'No schedule is set yet.',
      ['When the plan stands: ', { code: '/schedule set' }],
    ]);
  }
  const set = dayClock(state.zone, state.schedule.setAtMs, call.atMs);
  const lines: Line[] = [
    standingWords(state, standing, call.atMs),
    words.headline(state, forecast, call.atMs),
  ];
  return {
    lines,
    ...tableOf(state, standing.checkpoints, call.atMs),
    after: [
      `~ is projected. Set ${set}; + is later than planned. Margin is to the latest time.`,
      words.CAUTION,
    ],
  };
}

function tableOf(
  state: TripState,
  standings: readonly CheckpointStanding[],
  nowMs: number,
): { table: Table } {
  const plan = state.schedule?.checkpoints ?? [];
  const stamp = (ms: number | undefined) =>
    ms === undefined ? '-' : dayClock(state.zone, ms, nowMs);
  if (standings.length === 0) {
    return {
      table: {
        head: ['', 'planned', 'latest'],
        align: ['right', 'right', 'right'],
        rows: plan.map((c) => [String(c.pitch), stamp(c.plannedMs), stamp(c.latestMs)]),
      },
    };
  }
  return {
    table: {
      head: ['', 'planned', 'latest', 'actual', 'late', 'margin'],
      align: ['right', 'right', 'right', 'right', 'right', 'right'],
      rows: standings.map((c) => [
        String(c.pitch),
        stamp(c.plannedMs),
        stamp(c.latestMs),
        c.actualMs === undefined ? `~${stamp(c.projectedMs)}` : stamp(c.actualMs),
        signed(c.lateMin),
        signed(c.marginMin, false),
      ]),
    },
  };
}

function signed(min: number | undefined, plus = true): string {
  if (min === undefined || !Number.isFinite(min)) return '-';
  const size = Math.round(Math.abs(min));
  if (size === 0) return '0';
  return `${min < 0 ? '-' : plus ? '+' : ''}${size < 60 ? size : duration(size).replace(' h ', ':').replace(' h', ':00')}`;
}
