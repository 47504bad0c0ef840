import type { Compiled } from './compile.ts';
import type { Ascent } from './draw.ts';
import { type HangingJob, hangingMin } from './hanging.ts';
import { lastLegMin, type Timeline } from './lay-out.ts';
import { downFrom } from './nights.ts';
import { leave } from './way-out.ts';
import { finishOf } from './work-clock.ts';

/** What came out of the ascents, column by column. Times are minutes since now; Infinity: no end found. */
export interface Outcomes {
  count: number;
  /** Done, by leg still to climb, then by ascent. */
  done: Float64Array[];
  topout: Float64Array;
  trailhead: Float64Array;
  /** When the party boards, or is out on foot. */
  away: Float64Array;
  /** How many ascents board each departure, and how many walk out. */
  caught: Uint32Array;
  onFoot: number;
  /** How many ascents spend their next night there, by leg to be begun; the last entry is the top. */
  nightAt: Uint32Array;
  /** How many ascents have a night where not everybody can lie down. */
  exposed: number;
  /** The rain that was told: ascents on top before it, those caught by it, where they wait, by leg to be begun, and what it costs them. */
  rain: { dryTop: number; caught: number; heldAt: Uint32Array; costMin: Float64Array };
  /** By hanging job, then by ascent. */
  hanging: Float64Array[];
  /** Room to work in when the columns are summed up. */
  room: Float64Array;
}

/** Room for what comes out of `count` ascents. */
export function newOutcomes(c: Compiled, count: number, jobs: number): Outcomes {
  const legs = c.legs.length - c.state.leg;
  // One block for all columns: many small ones cost more to get than to fill.
  const block = new Float64Array(count * (legs + jobs + 4 + (c.rain ? 1 : 0)));
  let used = 0;
  const column = (): Float64Array => {
    used += count;
    return block.subarray(used - count, used);
  };
  return {
    count,
    done: Array.from({ length: legs }, column),
    topout: column(),
    trailhead: column(),
    away: column(),
    caught: new Uint32Array(c.wayOut.departureMin.length),
    onFoot: 0,
    nightAt: new Uint32Array(c.legs.length + 1),
    exposed: 0,
    rain: {
      dryTop: 0,
      caught: 0,
      heldAt: new Uint32Array(c.legs.length + 1),
      costMin: c.rain ? column() : new Float64Array(0),
    },
    hanging: Array.from({ length: jobs }, column),
    room: column(),
  };
}

/** Writes down ascent `i`, from its top-out to the road. */
export function record(
  c: Compiled,
  { ascent: a, line, topoutMin }: { ascent: Ascent; line: Timeline; topoutMin: number },
  jobs: readonly HangingJob[],
  o: Outcomes,
  i: number,
): void {
  for (let k = c.state.leg, row = 0; k < c.legs.length; k++, row++) {
    (o.done[row] as Float64Array)[i] = line.endMin[k] as number;
  }
  const top = c.legs.length;
  const downMin =
    c.state.leg === top ? c.state.downMin : downFrom(c.rules, topoutMin, lastLegMin(c, a, top));
  const trailheadMin = finishOf(c.wayOut.clock, downMin, a.descentMin);
  const { atMin, departure } = leave(c.wayOut, trailheadMin, a.walkMin);
  o.topout[i] = topoutMin;
  o.trailhead[i] = trailheadMin;
  o.away[i] = atMin;
  if (departure >= 0) o.caught[departure] = (o.caught[departure] as number) + 1;
  else if (atMin < Number.POSITIVE_INFINITY) o.onFoot++;
  if (line.exposed) o.exposed++;
  if (line.nightLeg >= 0) o.nightAt[line.nightLeg] = (o.nightAt[line.nightLeg] as number) + 1;
  if (topoutMin === Number.POSITIVE_INFINITY) return;
  for (let j = 0; j < jobs.length; j++) {
    (o.hanging[j] as Float64Array)[i] = hangingMin(jobs[j] as HangingJob, a, line);
  }
}
