import { dayClock } from '../../time/format.ts';
import { shownMarks } from './frame.ts';
import { type Scene, topOf } from './scene.ts';

/** What the picture shows, in words, for those who can't see it; well under 1,000 characters. */
export function altOf(scene: Scene): string {
  const { levels, nowMs, zone } = scene;
  if (levels.length === 0) return `${scene.title}: ${scene.note ?? 'nothing to draw yet.'}`;
  const at = (ms: number) => (Number.isFinite(ms) ? dayClock(zone, ms, nowMs) : 'beyond the days');
  const done = levels.filter((l) => l.done).length;
  const last = scene.actual.at(-1);
  const told = done === 0 ? '' : `, last told ${at(last?.atMs ?? nowMs)}`;
  const top = scene.fan.at(-1);
  const marks = shownMarks(scene).map((m) => m.label);
  const parts = [
    `Height against time for ${scene.title} at ${at(nowMs)}: ${done} of ${levels.length} pitches done${told}.`,
    top === undefined || top.heightM !== topOf(scene)
      ? ''
      : `Projected top-out ${at(top.q50)}, 8 in 10 ascents between ${at(top.q10)} and ${at(top.q90)}.`,
    scene.down === undefined
      ? ''
      : `At the trailhead ${at(scene.down.q50)}, between ${at(scene.down.q10)} and ${at(scene.down.q90)}.`,
    marks.length === 0 ? '' : `Lines: ${marks.join('; ')}.`,
  ];
  return parts
    .filter((part) => part !== '')
    .join(' ')
    .slice(0, 990);
}
