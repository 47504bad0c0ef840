import type { FastifyInstance } from 'fastify';
import { parseHTML } from 'linkedom';
import { waysOf } from '../../../src/alarm/who.ts';
import { pushKeys } from '../../../src/delivery/push-keys.ts';
import type { PageLinks } from '../../../src/page/server/links.ts';
import { personById, type TripState } from '../../../src/trip/state.ts';
import type { Way } from '../../../src/trip/ways.ts';
import { SECRET } from '../../helpers/secret.ts';
import { type OnPage, onPage } from '../server/trip-on-page.ts';

/** A page as a browser without JavaScript has it. */
export interface Visited {
  status: number;
  /** Words of the page, white space folded. */
  text: string;
  html: string;
  /** Labels of the buttons, in order. */
  buttons: string[];
  headers: Record<string, unknown>;
  /** Fills in and sends the form whose button has this label; a field is named as its form names it, with or without `f.`. */
  press(label: string, fields?: Record<string, string>): Promise<Visited>;
}

/** Opens one path of a server without a socket, in a browser of that language. */
export async function visit(
  server: FastifyInstance,
  path: string,
  language = 'en',
): Promise<Visited> {
  const headers = { 'accept-language': language };
  return visited(server, await server.inject({ method: 'GET', url: path, headers }), headers);
}

type Injected = Awaited<ReturnType<FastifyInstance['inject']>>;

function visited(
  server: FastifyInstance,
  answer: Injected,
  headers: Record<string, string>,
): Visited {
  const { document } = parseHTML(answer.body);
  const forms = [...document.querySelectorAll('form')];
  const labelOf = (form: (typeof forms)[number]) =>
    form.querySelector('button')?.textContent?.trim() ?? '';
  return {
    status: answer.statusCode,
    html: answer.body,
    text: (document.querySelector('main')?.textContent ?? '').replace(/\s+/gu, ' ').trim(),
    buttons: forms.map(labelOf),
    headers: answer.headers,
    async press(label, fields = {}) {
      const form = forms.find((f) => labelOf(f) === label);
      if (form === undefined)
        throw new Error(`no "${label}" among ${forms.map(labelOf).join(', ')}`);
      const body = new URLSearchParams();
      for (const input of form.querySelectorAll('input')) {
        body.set(input.getAttribute('name') ?? '', input.getAttribute('value') ?? '');
      }
      for (const select of form.querySelectorAll('select')) {
        const shown = select.querySelector('option[selected]') ?? select.querySelector('option');
        body.set(select.getAttribute('name') ?? '', shown?.getAttribute('value') ?? '');
      }
      for (const [name, value] of Object.entries(fields))
        body.set(body.has(`f.${name}`) ? `f.${name}` : name, value);
      const post = posting(form.getAttribute('action') ?? '', body);
      const sent = await server.inject({ ...post, headers: { ...headers, ...post.headers } });
      return visited(server, sent, headers);
    },
  };
}

/** A form sent as browsers send it (WHATWG HTML, 4.10.21.6). */
export function posting(url: string, body: URLSearchParams) {
  return {
    method: 'POST',
    url,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    payload: body.toString(),
  } as const;
}

/** A trip whose contacts can turn on push messages and ntfy on their pages. */
export function everyWayOn(more: Parameters<typeof onPage>[1] = {}): Promise<OnPage> {
  const { publicKey } = pushKeys(SECRET);
  return onPage(undefined, {
    push: { publicKey, takes: () => true },
    ntfy: { servers: ['https://ntfy.example.org'] },
    ...more,
  });
}

/** Path of a contact's own page. */
export async function ownPath(links: PageLinks, trip: string, person: string): Promise<string> {
  return new URL(await links.own(trip, person)).pathname;
}

/** The trip as it stands. */
export const stateOf = async ({ w }: OnPage): Promise<TripState> => (await w.trip()).state;

/** By which ways somebody is told now, in their order. */
export async function waysNow(on: OnPage, id: string): Promise<Way[]> {
  const state = await stateOf(on);
  const person = personById(state, id);
  return person === undefined ? [] : waysOf(state, person);
}
