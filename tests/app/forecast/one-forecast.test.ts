import { afterEach, beforeEach, expect, it } from 'vitest';
import { viewBoard } from '../../../src/app/board/view.ts';
import { dispatch } from '../../../src/app/dispatch.ts';
import { KeptForecasts } from '../../../src/app/forecast/kept.ts';
import { projectTimes } from '../../../src/app/watch/project.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';
import { climb } from './said.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

/** Counts the forecasts that are made, not those that are asked for; latest times are no forecast. */
class Counting extends KeptForecasts {
  made = 0;

  override of: KeptForecasts['of'] = (job, here) =>
    super.of(job, () => {
      if (job.asked !== 'latest') this.made++;
      return here();
    });
}

it('a post, its board, the early asking and /topout in the same minute share one forecast', async () => {
  await climb(w, '2031-06-12', [
    ['06:05', 'mara', '/trip depart'],
    ['06:10', 'mara', '/pitch start'],
  ]);
  const forecasts = new Counting();
  const app = { ...w.app, forecasts };
  const say = (path: string) =>
    dispatch(
      app,
      {
        id: w.app.ids.event(),
        atMs: w.clock.wallMs(),
        actor: { id: 'local:mara', name: 'Mara' },
        where: { channel: 'local:main', direct: false },
      },
      path,
      {},
    );
  w.at('2031-06-12 07:10');
  expect(text(await say('pitch done'))).toContain('Top-out ');
  expect(forecasts.made).toBe(1);
  const { row, state } = await w.trip();
  await viewBoard(app, row.id, w.clock.wallMs());
  await projectTimes(app, state, w.clock.wallMs());
  await say('topout');
  expect(forecasts.made).toBe(1);
  // Another minute is another forecast.
  w.at('2031-06-12 07:11');
  await say('topout');
  expect(forecasts.made).toBe(2);
});
