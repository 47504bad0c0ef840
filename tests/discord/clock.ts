import type { Clock } from '../../src/time/clock.ts';

/** The stand-in only asks for the time; it never sleeps. */
export type StandClock = Pick<Clock, 'wallMs'>;
