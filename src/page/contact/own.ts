import type { FastifyReply, RouteHandlerMethod } from 'fastify';
import type { App } from '../../app/app.ts';
import type { Reply } from '../../say/reply.ts';
import type { TripRow } from '../../store/port.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import type { FormContext, Sent } from './form.ts';

/** Somebody's own page, opened. */
export interface Opened {
  row: TripRow;
  state: TripState;
  person: Person;
  path: string;
  nowMs: number;
  /** What their browser says that they read. */
  locale?: string | undefined;
}

/** What the pages beside a contact's own one are made with. */
export interface OwnRoutes {
  app: App;
  /** A handler for whoever holds a link of this trip. */
  behind(
    show: (opened: Opened, body: unknown, reply: FastifyReply) => Promise<unknown>,
  ): RouteHandlerMethod;
  form(opened: Opened): FormContext;
  /** A form that came back; undefined when it was never offered here. */
  read(opened: Opened, body: unknown): Sent | undefined;
  /** Runs what a form of the page carries. */
  take(opened: Opened, body: unknown): Promise<Reply>;
  /** The same page with what has been recorded since. */
  anew(opened: Opened): Promise<Opened>;
}
