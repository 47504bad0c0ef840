import { cutoffKinds } from './cutoff.ts';
import type { Kind } from './kind.ts';
import { leadKinds } from './lead.ts';
import { logKinds } from './log.ts';
import { nightKinds } from './night.ts';
import { pitchKinds } from './pitch.ts';
import { rainKinds } from './rain.ts';
import { rosterKinds } from './roster.ts';
import { scheduleKinds } from './schedule.ts';
import { shuttleKinds } from './shuttle.ts';
import { topoKinds } from './topo.ts';
import { tripKinds } from './trip.ts';
import { watchKinds } from './watch.ts';

/** Every kind of event there is. A new family adds its file here. */
const KINDS: Readonly<Record<string, Kind>> = {
  ...tripKinds,
  ...rosterKinds,
  ...topoKinds,
  ...leadKinds,
  ...pitchKinds,
  ...nightKinds,
  ...rainKinds,
  ...cutoffKinds,
  ...shuttleKinds,
  ...scheduleKinds,
  ...watchKinds,
  ...logKinds,
};

export function kindOf(name: string): Kind | undefined {
  return Object.hasOwn(KINDS, name) ? KINDS[name] : undefined;
}

export function kindNames(): string[] {
  return Object.keys(KINDS);
}
