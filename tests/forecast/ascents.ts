import { compile } from '../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../src/forecast/draw.ts';
import { layOut, newTimeline } from '../../src/forecast/lay-out.ts';
import type { ForecastInput } from '../../src/forecast/model.ts';
import { legTables } from '../../src/forecast/tables.ts';

/**
 * When each pitch's leg is done in every one of so many ascents, drawn one by one: minutes since now,
 * by leg still to climb, then by ascent. The last one is the top-out.
 *
 * @param evenly false draws by chance alone
 */
export function drawnAscents(input: ForecastInput, count: number, evenly = false): Float64Array[] {
  const compiled = compile(input, evenly);
  const tables = legTables(compiled);
  const ascent = newAscent(compiled);
  const timeline = newTimeline(compiled);
  const first = compiled.state.leg;
  const out = Array.from({ length: compiled.legs.length - first }, () => new Float64Array(count));
  for (let i = 0; i < count; i++) {
    drawAscent(compiled, tables, ascent, i);
    layOut(compiled, ascent, timeline);
    out.forEach((column, row) => {
      column[i] = timeline.endMin[first + row] as number;
    });
  }
  return out;
}
