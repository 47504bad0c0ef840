import { waysSaid } from '../alarm/consent.ts';
import type { Person } from '../trip/people.ts';
import type { TripState } from '../trip/state.ts';
import { wayLost } from './lost-way.ts';
import type { Envelope, Sent, WatchParts } from './ports.ts';

/**
 * To every browser in which somebody turned push on; one that takes it is enough. A browser that is gone is
 * dropped, and that is said. Undefined where there is none.
 */
export function pushToAll(
  parts: WatchParts,
  state: TripState,
  { id, name }: Pick<Person, 'id' | 'name'>,
  envelope: Envelope,
): Promise<Sent> | undefined {
  const { push } = parts.ways;
  const person = state.people.find((p) => p.id === id);
  const agreed = person === undefined ? [] : waysSaid(state, person, 'yes');
  const devices = state.watch.devices.filter(
    (d) => d.person === id && agreed.some((w) => w.way === 'push' && w.to === d.to),
  );
  if (push === undefined || devices.length === 0) return undefined;
  return Promise.all(
    devices.map(async (device): Promise<Sent> => {
      const sent = await push({ device, name }, envelope);
      if (!sent.ok && sent.why === GONE) {
        await wayLost(parts, state.id, { person: id, way: 'push', to: device.to, why: GONE });
      }
      return sent;
    }),
  ).then(bestOf);
}

/** The push service knows this browser no more. */
export const GONE = 'gone';

/** What came of the same message to several browsers. */
function bestOf(all: readonly Sent[]): Sent {
  const waits = all.flatMap((sent) => (!sent.ok && sent.retry === 'later' ? [sent] : []));
  const [first] = all;
  const best = all.find((sent) => sent.ok) ?? waits[0] ?? first;
  return best ?? { ok: false, retry: 'never', why: GONE };
}
