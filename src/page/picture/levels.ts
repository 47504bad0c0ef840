import { lengthText } from '../../trip/units.ts';
import type { Frame } from './frame.ts';
import type { Label, Sheet } from './labels.ts';
import { fitText } from './letters.ts';
import { currentLevel, type Level, type Scene, topOf } from './scene.ts';

const SIZE = 12;
const NUMBER_END = 24;
const NAME_START = 29;
const NAME_WIDTH = 46;

/**
 * Pitch numbers and leaders beside their bands. When not all have room: the pitch under way, the
 * first and the last, every fifth, then what comes next.
 */
export function placeLevels(scene: Scene, frame: Frame, sheet: Sheet): void {
  for (const level of byRank(scene)) {
    const below = scene.levels[level.pitch - 2]?.heightM ?? 0;
    const y = (frame.y(below) + frame.y(level.heightM)) / 2 + SIZE * 0.34;
    const current = level === currentLevel(scene);
    const base = {
      y,
      size: SIZE,
      bold: current,
      tone: level.done ? ('quiet' as const) : ('ink' as const),
    };
    const number: Label = {
      ...base,
      role: 'pitch',
      text: String(level.pitch),
      x: NUMBER_END,
      anchor: 'end',
      bold: true,
    };
    if (!sheet.place([number], 0.5)) continue;
    if (level.leader === undefined) continue;
    const text = fitText(level.leader, NAME_WIDTH, SIZE, current);
    sheet.place([{ ...base, role: 'leader', text, x: NAME_START, anchor: 'start' }], 0.5);
  }
  const top = lengthText(topOf(scene), scene.units);
  const height: Omit<Label, 'y'> = {
    role: 'height',
    text: top,
    x: frame.plot.x - 4,
    anchor: 'end',
    size: SIZE,
    bold: false,
    tone: 'quiet',
  };
  sheet.place([5, 10].map((up) => ({ ...height, y: frame.y(topOf(scene)) - up })));
}

function byRank(scene: Scene): Level[] {
  const { levels } = scene;
  const current = currentLevel(scene);
  const from = current?.pitch ?? levels.length + 1;
  const rank = (level: Level): number => {
    if (level === current) return 0;
    if (level.pitch === 1 || level.pitch === levels.length) return 1;
    if (level.pitch % 5 === 0) return 2;
    return level.pitch > from ? 3 + (level.pitch - from) / 100 : 5 + (from - level.pitch) / 100;
  };
  return [...levels].sort((a, b) => rank(a) - rank(b));
}
