import type { FastifyInstance } from 'fastify';
import { parseHTML } from 'linkedom';
import type { PageLinks } from '../../../src/page/server/links.ts';

/** A page as a browser without JavaScript has it. */
export interface Visited {
  status: number;
  /** Words of the page, white space folded. */
  text: string;
  html: string;
  /** Labels of the buttons, in order. */
  buttons: string[];
  headers: Record<string, unknown>;
  /** Fills in and sends the form whose button has this label. */
  press(label: string, fields?: Record<string, string>): Promise<Visited>;
}

/** Opens one path of a server without a socket. */
export async function visit(server: FastifyInstance, path: string): Promise<Visited> {
  return visited(server, await server.inject({ method: 'GET', url: path }));
}

type Injected = Awaited<ReturnType<FastifyInstance['inject']>>;

function visited(server: FastifyInstance, answer: Injected): Visited {
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
      for (const [name, value] of Object.entries(fields)) body.set(`f.${name}`, value);
      return visited(server, await server.inject(posting(form.getAttribute('action') ?? '', body)));
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

/** Path of a contact's own page. */
export async function ownPath(links: PageLinks, trip: string, person: string): Promise<string> {
  return new URL(await links.own(trip, person)).pathname;
}
