import type { App } from '../../src/app/app.ts';
import type { Call, Suggest } from '../../src/app/command.ts';
import { paceLearnt } from '../../src/forecast/pace-learnt.ts';
import { LIMITS } from '../../src/limits.ts';
import { personOf } from '../../src/record/membership.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { TripRow } from '../../src/store/port.ts';
import type { DraftOf } from '../../src/trip/fact.ts';
import type { TripState } from '../../src/trip/state.ts';

/** Trips that are offered, the newest first. */
const OFFERED = 25;

/** The trips somebody may take a pace from: closed ones of this server on whose roster they are, or that they opened. */
function earlierTrips(app: App, call: Call, guild: string | undefined): Promise<TripRow[]> {
  return app.store.closedTripsOf(call.actor.id, guild, OFFERED);
}

const suggestEarlier: Suggest = async (call, typed, app) => {
  const want = typed.toLowerCase();
  const trips = await earlierTrips(app, call, call.where.guild);
  return trips
    .filter(({ name }) => name.toLowerCase().includes(want))
    .map(({ id, name, openedAtMs }) => ({
      name: `${name}, ${new Date(openedAtMs).toISOString().slice(0, 10)}`,
      value: id,
    }));
};

/** Names an earlier trip. */
export const paceFromOption = {
  type: 'string',
  description: 'A closed trip of yours on this server whose pace is taken over, by its name',
  maxLength: LIMITS.nameLength,
  suggest: suggestEarlier,
} as const;

/** Whether somebody climbed or helped there, or opened it: who only waited at home takes no pace from it. */
function tookPart(state: TripState, userId: string): boolean {
  const roles = personOf(state, userId)?.roles ?? [];
  return state.openedBy.id === userId || roles.some((role) => role !== 'contact');
}

/**
 * What an earlier trip taught, to be recorded in a new one.
 *
 * @param guild the server of the new trip
 * @throws Refusal for a trip that isn't the asker's to take from, or that taught nothing
 */
export async function paceFrom(
  app: App,
  call: Call,
  typed: string,
  guild: string | undefined,
): Promise<DraftOf<'pace.taken'>> {
  const trips = await earlierTrips(app, call, guild);
  const want = typed.trim().toLowerCase();
  const row =
    trips.find((t) => t.id === typed) ??
    trips.find((t) => t.name.toLowerCase() === want) ??
    trips.find((t) => t.name.toLowerCase().startsWith(want));
  const loaded = row === undefined ? undefined : await app.records.load(row.id);
  if (loaded === undefined || !tookPart(loaded.state, call.actor.id)) {
    const names = [...new Set(trips.map((t) => t.name))].join(', ');
    throw new Refusal('no-such-choice', [
      `There is no closed trip ${typed} here that you took part in.`,
      names === ''
        ? 'A pace is taken only from closed trips of this server, by who climbed or helped there or opened it.'
        : `There is: ${names}.`,
      'One from elsewhere: open its record in another channel of this server first: /trip open record:',
    ]);
  }
  const data = paceLearnt(loaded.state);
  if (data === undefined) {
    throw new Refusal('nothing-told', [
      `Nothing was told on ${loaded.state.name} that teaches a pace.`,
      'Without it: /trip pace party: says how fast the party is.',
    ]);
  }
  return { kind: 'pace.taken', data };
}
