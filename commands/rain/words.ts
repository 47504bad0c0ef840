import type { Line } from '../../src/say/reply.ts';
import { dayClock } from '../../src/time/format.ts';
import type { TripState } from '../../src/trip/state.ts';
import { saidDry, wetRockHold } from '../../src/trip/wet-rock-hold.ts';

/** The hold is for sandstone; on rock that keeps its strength a party sets its own. */
export function otherRockWords({ settings }: TripState): Line | undefined {
  if (settings.wetHours === 0) return undefined;
  return ['The hours are for sandstone; for other rock: ', { code: '/trip edit wet_hours:0' }];
}

/** Where the hold stands, in one sentence. */
export function holdWords(state: TripState, nowMs: number): string {
  const hours = state.settings.wetHours;
  const hold = wetRockHold(state.rains, hours, nowMs);
  const at = (ms: number) => dayClock(state.zone, ms, nowMs);
  const dry = saidDry(state, nowMs);
  if (dry !== undefined) {
    return `No wet-rock hold: the rock was said to be dry, “${dry.said}” (${at(dry.atMs)}, told by ${dry.by.name}).`;
  }
  if (hold.state === 'raining') {
    const since = `Raining since ${at(hold.sinceMs)}.`;
    return hours === 0
      ? `${since} No wet-rock hold is set.`
      : `${since} ${hours} h without climbing count from its end: /rain stop`;
  }
  if (hold.state === 'holding') {
    return `Wet-rock hold until ${at(hold.untilMs)}: ${hours} h from the end of rain at ${at(hold.rainEndedMs)}.`;
  }
  return hours === 0
    ? 'No wet-rock hold is set.'
    : `No wet-rock hold now. It lasts ${hours} h from the end of rain.`;
}

/** Shade dries later (Access Fund, how to assess sandstone after rain or snow), which no source puts in hours. */
const SHADED = ['north', 'north-east', 'north-west'];

/** The rule of this rock with who says so: `36 h without climbing after rain: “the land manager” says so.` */
export function ruleWords({ settings }: TripState): string {
  const { wetHours, wetSource, wetRule, faces } = settings;
  const rule =
    wetHours === 0
      ? 'No hold after rain on this rock'
      : `${wetHours} h without climbing after rain on this rock`;
  const whose =
    wetSource === undefined
      ? '; ours, until you say whose rule holds: /weather rock'
      : `, by “${wetSource}”${wetRule === undefined ? '' : `: ${wetRule}`}`;
  const shade =
    faces === undefined
      ? ''
      : SHADED.includes(faces)
        ? ` It faces ${faces}: shade dries later than the hours say.`
        : ` It faces ${faces}.`;
  return `${rule}${whose}.${shade}`;
}
