import type { KindName } from '../fact.ts';
import { contactKinds } from './contact.ts';
import { cutoffKinds } from './cutoff.ts';
import { descentKinds } from './descent.ts';
import type { Kind } from './kind.ts';
import { kitKinds } from './kit.ts';
import { leadKinds } from './lead.ts';
import { logKinds } from './log.ts';
import { nightKinds } from './night.ts';
import { paceKinds } from './pace.ts';
import { partyKinds } from './party.ts';
import { pitchKinds } from './pitch.ts';
import { planKinds } from './plan.ts';
import { rainKinds } from './rain.ts';
import { retreatKinds } from './retreat.ts';
import { rosterKinds } from './roster.ts';
import { scheduleKinds } from './schedule.ts';
import { shuttleKinds } from './shuttle.ts';
import { topoKinds } from './topo.ts';
import { tripKinds } from './trip.ts';
import { troubleKinds } from './trouble.ts';
import { waitKinds } from './wait.ts';
import { watchKinds } from './watch.ts';
import { weatherKinds } from './weather.ts';

/** Every kind of fact there is. A new family adds its file here; the union `Fact` follows. */
export const KINDS = {
  ...tripKinds,
  ...rosterKinds,
  ...topoKinds,
  ...leadKinds,
  ...pitchKinds,
  ...nightKinds,
  ...planKinds,
  ...paceKinds,
  ...rainKinds,
  ...weatherKinds,
  ...kitKinds,
  ...waitKinds,
  ...retreatKinds,
  ...descentKinds,
  ...partyKinds,
  ...cutoffKinds,
  ...shuttleKinds,
  ...scheduleKinds,
  ...troubleKinds,
  ...watchKinds,
  ...contactKinds,
  ...logKinds,
};

/** Whether this release knows a kind of this name. */
export function isKind(name: string): name is KindName {
  return Object.hasOwn(KINDS, name);
}

/** The names of all kinds. */
export const KIND_NAMES = Object.keys(KINDS) as readonly KindName[];

/**
 * A kind by its name. The one place where the type of its data is let go: a fact carries its kind's
 * own data, which the union `Fact` and `readFact` hold to.
 */
export function kindOf(name: KindName): Kind<unknown> {
  return KINDS[name] as unknown as Kind<unknown>;
}
