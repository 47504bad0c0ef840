import { saidBy, type WayTo, waysTo } from '../alarm/consent.ts';
import type { App } from '../app/app.ts';
import type { MailAddresses } from '../app/mail-addresses.ts';
import type { TripRow } from '../store/port.ts';
import type { Person } from '../trip/people.ts';
import { present, type TripState } from '../trip/state.ts';

/** Whose words a mail brings, by the secret it was sent to. */
export interface Whose {
  row: TripRow;
  state: TripState;
  person: Person;
  /** A contact's own address; undefined for who posts for the party. */
  way: WayTo | undefined;
}

/**
 * Who writes to one of these addresses: a contact of an open trip, or one of its party or ground crew. Undefined
 * when none of them has a secret in it.
 *
 * @throws UnreadableRecord for a trip that can't be read
 */
export async function whoseMail(
  app: Pick<App, 'store' | 'records'>,
  addresses: MailAddresses,
  to: readonly string[],
): Promise<Whose | undefined> {
  for (const address of to) {
    const found = addresses.read(address);
    if (found === undefined) continue;
    const row = await app.store.trip(found.trip);
    if (row?.status !== 'open') continue;
    const { state } = await app.records.read(row);
    for (const person of present(state)) {
      const way = waysTo(state, person).find((w) => w.way === 'email');
      const answers = way !== undefined && person.roles.includes('contact');
      if (
        answers &&
        (await addresses.opens(row.id, { person: person.id, to: way.to }, found.secret))
      ) {
        return { row, state, person, way };
      }
      const posts = person.roles.some((role) => role !== 'contact');
      if (posts && (await addresses.opens(row.id, { person: person.id, to: '' }, found.secret))) {
        return { row, state, person, way: undefined };
      }
    }
  }
  return undefined;
}

/** Whether a contact is told by mail, or could be. */
export function agreedBy(state: TripState, way: WayTo): boolean {
  return saidBy(state, way) === 'yes';
}
