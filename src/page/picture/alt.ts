import { percentWords } from '../../app/words/odds.ts';
import { shownMarks } from './frame.ts';
import { atIn, type Scene, topOf } from './scene.ts';

/** What the picture shows, in words, for those who can't see it; well under 1,000 characters. */
export function altOf(scene: Scene): string {
  const { levels, nowMs } = scene;
  if (levels.length === 0) return `${scene.title}: ${scene.note ?? 'nothing to draw yet.'}`;
  const at = (ms: number) => (Number.isFinite(ms) ? atIn(scene, ms) : 'beyond the days');
  const done = levels.filter((l) => l.done).length;
  const last = scene.actual.at(-1);
  const told = done === 0 ? '' : `, last told ${at(last?.atMs ?? nowMs)}`;
  const middle = (ms: number) => (scene.topIsOpen === true ? '' : ` ${at(ms)}`);
  const top = scene.fan.at(-1);
  const marks = shownMarks(scene).map((m) => m.label);
  const parts = [
    `Height against time for ${scene.title} at ${at(nowMs)}: ${done} of ${levels.length} pitches done${told}.`,
    top === undefined || top.heightM !== topOf(scene)
      ? ''
      : `Projected top-out${middle(top.q50)}, 8 in 10 ascents between ${at(top.q10)} and ${at(top.q90)}.`,
    scene.down === undefined
      ? ''
      : `${scene.down.to === 'ground' ? 'On the ground' : 'At the trailhead'}${middle(scene.down.q50)}, between ${at(scene.down.q10)} and ${at(scene.down.q90)}.`,
    rainWords(scene, at),
    marks.length === 0 ? '' : `Lines: ${marks.join('; ')}.`,
  ];
  return parts
    .filter((part) => part !== '')
    .join(' ')
    .slice(0, 990);
}

/** `Rain is told for 22:00 to Fri 03:00, 40 % at most.` */
function rainWords({ rains = [] }: Scene, at: (ms: number) => string): string {
  const [first, last] = [rains[0], rains.at(-1)];
  if (first === undefined || last === undefined) return '';
  const most = percentWords(Math.max(...rains.map((r) => r.chance)));
  return `Rain is told between ${at(first.fromMs)} and ${at(last.toMs)}, ${most} at most.`;
}
