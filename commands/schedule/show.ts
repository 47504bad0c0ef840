import { type Options, sub } from '../../src/app/command.ts';
import { forecastOf } from '../../src/app/forecast/run.ts';
import { standingOf, standingWords } from '../../src/app/forecast/standing.ts';
import { pictured } from '../../src/app/pictures.ts';
import * as words from '../../src/app/words/forecast.ts';
import { lastRopeWords } from '../../src/app/words/lead.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { dayClock } from '../../src/time/format.ts';
import { isOver } from '../../src/trip/mode.ts';
import { scheduleTable } from './table.ts';

const options = {} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'schedule show': typeof options;
  }
}

/** Planned, latest, actual or projected. */
export const show = sub({
  description: 'Ahead or behind, pitch by pitch',
  access: 'look',
  counts: ['forecast'],
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    const forecast = await forecastOf(app, state, call.atMs);
    const standing = forecast && standingOf(state, forecast);
    if (forecast === undefined || standing === undefined || state.schedule === undefined) {
      throw new Refusal('no-schedule', [
        'No schedule is set yet.',
        ['When the plan stands: ', { code: '/schedule set' }],
      ]);
    }
    const set = dayClock(state.zone, state.schedule.setAtMs, call.atMs);
    const over = isOver(state);
    return {
      lines: [
        standingWords(state, standing, call.atMs),
        words.headline(state, forecast, call.atMs),
        ...words.present([lastRopeWords(state, call.atMs)]),
      ],
      ...scheduleTable(state.zone, standing.checkpoints, 6, call.atMs),
      after: [
        `Set ${set}. ~ is projected; late in h:min of climbing, + is behind the plan; margin is to the latest time.`,
        ...(over ? [] : [words.CAUTION]),
      ],
      ...(await pictured(app, state, forecast, call.atMs)),
    };
  },
});
