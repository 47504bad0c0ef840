import { lookBack } from '../record/trips.ts';
import { dayClock, duration } from '../time/format.ts';
import { parseWhen } from '../time/parse.ts';
import type { TripState } from '../trip/state.ts';
import type { Choice, Suggest } from './command.ts';
import { exactTime } from './when.ts';

const MINUTE_MS = 60_000;
/** How long ago what is posted mostly was; minutes. Engineering choice. */
const AGO_MIN = [0, 5, 10, 15, 20, 30, 45, 60, 90, 120, 180, 240, 360] as const;

/** When something happened, to be picked with gloves on; or what is typed, as it is understood. */
export const suggestTold: Suggest = async (call, typed, app) => {
  const { state } = await lookBack(app, call);
  const nowMs = Math.floor(call.atMs / MINUTE_MS) * MINUTE_MS;
  if (typed.trim() === '') return AGO_MIN.map((min) => choice(state, nowMs, min * MINUTE_MS));
  const when = parseWhen(typed, { zone: state.zone, nowMs: call.atMs, sense: 'past' });
  return when.ok ? [choice(state, nowMs, nowMs - when.atMs)] : [];
};

function choice({ zone }: TripState, nowMs: number, agoMs: number): Choice {
  const atMs = nowMs - agoMs;
  const min = Math.round(agoMs / MINUTE_MS);
  const ago = min === 0 ? 'now' : min > 0 ? `${duration(min)} ago` : `in ${duration(-min)}`;
  return { name: `${dayClock(zone, atMs, nowMs)}, ${ago}`, value: exactTime(atMs) };
}
