import { trips } from './0001-trips.ts';
import { membersAndLeases } from './0002-members-and-leases.ts';
import { entryIds } from './0003-entry-ids.ts';
import { seals } from './0004-seals.ts';
import { sharing } from './0005-sharing.ts';
import type { Migration } from './migration.ts';

/** All steps, oldest first. */
export const MIGRATIONS: readonly Migration[] = [trips, membersAndLeases, entryIds, seals, sharing];
