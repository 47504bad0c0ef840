import type { Answering } from '../../delivery/answers.ts';
import type { Witness } from '../../delivery/clocks.ts';
import { type Counters, NO_COUNTERS, type WatchParts, type Ways } from '../../delivery/ports.ts';
import type { App } from '../app.ts';
import { unlessCostly } from '../forecast/costly.ts';
import { waysLate } from '../leaving-plan.ts';
import { projectTimes } from './project.ts';

/** In calendar files of nobody's: RFC 5546 wants a mail address in every one. */
export const NO_ORGANIZER = 'tagline@localhost.invalid';

export interface WatchWiring {
  ways: Ways;
  /** Mail address of whoever runs this, for calendar files. */
  organizer?: string | undefined;
  /** Names this process among those on the same database. */
  owner: string;
  counters?: Counters | undefined;
  /** Since when posts don't reach us. */
  deafSinceMs?: (() => number | undefined) | undefined;
  /** Other machines' time, the one that is believed first. */
  witnesses?: readonly Witness[] | undefined;
}

/** Where contacts answer: on pages, and by mail. */
export function answering(app: App): Answering {
  return {
    ownPage: app.pages?.own,
    answersAt: app.mailAddresses?.address.bind(app.mailAddresses),
    asked: (trip, way) => {
      const url = app.pages?.asked(trip, app.invitations.token(trip, way));
      return { code: app.invitations.code(trip, way), ...(url === undefined ? {} : { url }) };
    },
  };
}

/** The watch's parts from the bot's own. */
export function watchParts(app: App, wiring: WatchWiring): WatchParts {
  return {
    store: app.store,
    clock: app.clock,
    log: app.log.child({ part: 'watch' }),
    records: app.records,
    project: (state, nowMs) => projectTimes(app, state, nowMs),
    waysLate: async (state, nowMs) => (await unlessCostly(waysLate(app, state, nowMs))) ?? [],
    ...answering(app),
    organizer: wiring.organizer ?? NO_ORGANIZER,
    owner: wiring.owner,
    ways: wiring.ways,
    counters: wiring.counters ?? NO_COUNTERS,
    deafSinceMs: wiring.deafSinceMs,
    witnesses: wiring.witnesses,
  };
}
