/** A whole trip as a contact at home reads it, from the invitation to the end of a call-out: by mail alone, by page alone. */
import type { FastifyInstance } from 'fastify';
import { mailOf } from '../../../src/delivery/mail-message.ts';
import type { Envelope } from '../../../src/delivery/ports.ts';
import { Desk } from '../../../src/inbox/desk.ts';
import { readMail } from '../../../src/inbox/incoming.ts';
import { buildPageServer } from '../../../src/page/server/server.ts';
import type { World } from '../../helpers/world.ts';
import { openDemo, world } from '../../helpers/world.ts';
import { ownPath, type Visited, visit } from '../../page/contact/visitor.ts';
import { onPage } from '../../page/server/trip-on-page.ts';

/** What was read, one text a mail, an answer or a page. */
export type Read = { what: string; text: string }[];

/** What they answer, in the order in which they are asked. */
export interface Answers {
  /** Before the yes: to go on in their language. */
  language?: string;
  yes: string;
  strange: string;
  hand: string;
  called: string;
  knows: string;
  leave: string;
  leaveSure: string;
}

const FROM = { from: 'tagline <watch@tagline.example.org>' };
const EDDA = { address: 'edda@example.org', name: 'Edda' };

/** Types a line; where it is asked back, presses what is meant. */
async function said(w: World, who: string, line: string, sure?: string): Promise<void> {
  const asked = await w.say(who, line);
  const reply = sure === undefined ? asked : await w.say(who, `[${sure}]`);
  if (reply.refused === true) throw new Error(`${line}: ${JSON.stringify(reply.lines)}`);
}

/** What the party does: it sets off, falls silent, is heard from after the call, comes down. */
async function acts(
  w: World,
  day: string,
): Promise<((then: () => Promise<void>) => Promise<void>)[]> {
  const to = (local: string) => async () => {
    w.at(`${day} ${local}`);
    await w.tick();
  };
  const next = new Date(`${day}T00:00Z`).getTime() + 86_400_000;
  const tomorrow = new Date(next).toISOString().slice(0, 10);
  const late = async (local: string) => {
    w.at(`${tomorrow} ${local}`);
    await w.tick();
  };
  return [
    // A rehearsal, then the departure.
    async (then) => {
      await said(w, 'mara', '/checkin drill');
      await to('06:20')();
      await then();
    },
    async (then) => {
      await said(w, 'mara', '/checkin plan once:18:00 down:22:00 callout:"tomorrow 06:00"');
      await said(w, 'mara', '/overdue details vehicle:"red van" parked:"lower car park"');
      await said(w, 'mara', '/trip depart');
      await to('09:00')();
      await said(w, 'greta', '/pitch done number:1 at:08:40');
      await w.tick();
      await then();
    },
    // No word at 18:00: no word yet, then overdue.
    async (then) => {
      for (const local of ['18:01', '18:31']) await to(local)();
      await then();
    },
    async (then) => {
      await to('20:01')();
      await then();
    },
    // The call-out time.
    async (then) => {
      await late('06:01');
      await then();
    },
    // Heard from, then down.
    async (then) => {
      w.at(`${tomorrow} 07:00`);
      await said(w, 'mara', '/checkin ok words:"slow, all fine"');
      await w.tick();
      await then();
    },
    async (then) => {
      w.at(`${tomorrow} 09:30`);
      await said(w, 'mara', '/trip down', 'Yes, everyone is down');
      await w.tick();
      await then();
    },
  ];
}

/** The whole of it by mail, without any page. */
export async function byMail(answers: Answers): Promise<Read> {
  const read: Read = [];
  const w = await world({ around: () => ({ inbox: 'words+*@tagline.example.org' }) });
  try {
    const { mailAddresses: addresses } = w.app;
    if (addresses === undefined) throw new Error('no addresses');
    const show = (what: string, envelope: Envelope) => {
      const { subject, text } = mailOf(FROM, EDDA, envelope);
      read.push({ what, text: `${subject}\n${text}` });
    };
    const desk = new Desk({
      app: w.app,
      addresses,
      email: async (_to, envelope) => {
        show('answer', envelope);
        return { ok: true, receipt: 'x' };
      },
    });
    await openDemo(w);
    await said(w, 'mara', '/trip edit emergency:"112, +47 70 00 00 00"');
    let seen = 0;
    let newest = '';
    const mails = async () => {
      for (const { way, to, envelope } of w.told.slice(seen)) {
        if (way !== 'email' || to !== 'Edda') continue;
        newest = mailOf(FROM, EDDA, envelope).messageId;
        show('mail', envelope);
      }
      seen = w.told.length;
    };
    let count = 0;
    const answer = async (text: string | undefined) => {
      if (text === undefined) return;
      const { state } = await w.trip();
      const to = await addresses.address(state.id, { person: 'edda', to: EDDA.address });
      const head = [
        `from: ${EDDA.address}`,
        `to: ${to}`,
        `message-id: <${++count}@example.org>`,
        `in-reply-to: ${newest}`,
      ];
      const source = new TextEncoder().encode([...head, '', text].join('\r\n'));
      await desk.take(await readMail(source));
      await w.tick();
      await mails();
    };
    await said(
      w,
      'mara',
      '/roster add name:Edda role:contact email:edda@example.org ways:email order:1',
    );
    await w.tick();
    await mails();
    await answer(answers.language);
    await answer(answers.yes);
    const then = [
      answers.hand,
      answers.strange,
      undefined,
      answers.hand,
      answers.called,
      answers.knows,
      answers.leave,
    ];
    for (const [i, act] of (await acts(w, '2031-06-12')).entries()) {
      await act(async () => {
        await mails();
        await answer(then[i]);
      });
    }
    return read;
  } finally {
    await w.close();
  }
}

/** The labels that they press, in the language of the page. */
export interface Presses {
  language?: string;
  yes: string;
  hand: string;
  heard: string;
  called: string;
  knows: string;
  sheet: string;
}

/** The whole of it by the page that the invitation leads to, and by their own. */
export async function byPage(presses: Presses): Promise<Read> {
  const read: Read = [];
  const on = await onPage();
  let server: FastifyInstance | undefined;
  try {
    server = await buildPageServer(on.settings);
    const open = server;
    const { w } = on;
    const show = (what: string, page: Visited) => {
      read.push({ what, text: page.html });
      return page;
    };
    await said(
      w,
      'mara',
      '/roster add name:Edda role:contact email:edda@example.org ways:email order:1',
    );
    await said(w, 'mara', '/trip edit emergency:"112, +47 70 00 00 00"');
    const way = { person: 'edda', way: 'email', to: 'edda@example.org' } as const;
    const asked = `/a/${on.trip}/${on.app.invitations.token(on.trip, way)}`;
    let page = show('invitation', await visit(open, asked));
    if (presses.language !== undefined) {
      page = show('language', await page.press(presses.language));
    }
    show('yes', await page.press(presses.yes));
    const own = await ownPath(on.settings.links, on.trip, 'edda');
    const then: ((page: Visited) => Promise<unknown>)[] = [
      async () => {},
      async () => {},
      async () => {},
      async (p) => show('in hand', await p.press(presses.hand)),
      async (p) => show('called', await p.press(presses.called)),
      async (p) => show('rescue service knows', await p.press(presses.knows)),
      async () => {},
    ];
    for (const [i, act] of (await acts(w, '2031-08-23')).entries()) {
      await act(async () => {
        const now = show(`page ${i + 1}`, await visit(open, own));
        await then[i]?.(now);
        if (i === 1)
          show('heard', await now.press(presses.heard, { words: 'rang me', at: '08:50' }));
        if (i === 2) {
          show('bad time', await now.press(presses.heard, { words: 'rang me', at: 'soon' }));
          show('hurt', await now.press(presses.heard, { words: 'Ines is hurt' }));
          show('sheet', await visit(open, `${own}/sheet`));
        }
      });
    }
    return read;
  } finally {
    await server?.close();
    await on.close();
  }
}
