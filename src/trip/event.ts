export type { Fact as TripEvent } from './fact.ts';
