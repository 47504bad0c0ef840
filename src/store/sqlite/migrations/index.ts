import { trips } from './0001-trips.ts';
import { membersAndLeases } from './0002-members-and-leases.ts';
import type { Migration } from './migration.ts';

/** All steps, oldest first. */
export const MIGRATIONS: readonly Migration[] = [trips, membersAndLeases];
