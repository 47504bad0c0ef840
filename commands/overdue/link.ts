import type { App } from '../../src/app/app.ts';
import { type Call, type Options, sub } from '../../src/app/command.ts';
import type { Whose } from '../../src/app/page/port.ts';
import { personMeant } from '../../src/app/who.ts';
import { personOf } from '../../src/record/membership.ts';
import { look } from '../../src/record/trips.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import { typedText } from '../../src/say/typed.ts';
import type { Person } from '../../src/trip/people.ts';
import { contactMeant, contactOption } from './contact.ts';

const options = {
  end: { type: 'boolean', description: 'Make the link stop working' },
  family: {
    type: 'boolean',
    description: 'The family’s own page: how it goes, without what is private',
  },
  for: contactOption('A contact’s own page; or the mail address for your satellite device'),
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'overdue link': typeof options;
  }
}

/** A new link to the status page, or the end of the one there is. */
export const link = sub({
  description: 'A private link to the status page, for the contact and the family',
  access: 'act',
  private: true,
  options,
  async run(call, args, app) {
    await look(app, call, 'act');
    if (args.for !== undefined) return ownLink(app, call, args.for, args.end === true);
    const whose = args.family === true ? 'family' : 'helpers';
    return args.end === true ? endLink(app, call, whose) : makeLink(app, call, whose);
  },
});

function pagesOf(app: App) {
  if (app.pages !== undefined) return app.pages;
  throw new Refusal('no-page', [
    'There is no status page here.',
    'Whoever runs tagline can turn it on by setting its base address.',
  ]);
}

/** What whoever has such a link can read. */
const READS: Readonly<Record<Whose, string>> = {
  helpers: 'Whoever has it can read how the trip goes, and the sheet after one step more.',
  family:
    'Whoever has it can read how the trip goes, the plan and when you mean to be heard from: no address, no number, no sheet, no word that anybody typed.',
};

async function makeLink(app: App, call: Call, whose: Whose): Promise<Reply> {
  const pages = pagesOf(app);
  const { state } = await look(app, call, 'act');
  if (state.closedAtMs !== undefined)
    throw new Refusal('closed', 'The trip is closed, and its page with it.');
  const before = await pages.madeAt(state.id, whose);
  const url = await pages.make(state.id, call.atMs, whose);
  return {
    lines: [
      [{ code: url }],
      `${READS[whose]} It ends when the trip is closed, and after two weeks.`,
      ...(before === undefined ? [] : ['The link before it does not work any more.']),
    ],
    links: [{ label: 'Open the page', url }],
    buttons: [
      {
        label: 'End the link',
        press: {
          path: 'overdue link',
          options: { end: true, ...(whose === 'family' ? { family: true } : {}) },
        },
      },
    ],
    private: true,
  };
}

/** Shown to the contact alone: what is sent from their page goes under their name. */
async function ownLink(app: App, call: Call, typed: string, end: boolean): Promise<Reply> {
  const { state } = await look(app, call, 'act');
  const meant = personMeant(state, typed);
  if (!meant.roles.includes('contact')) return ownAddress(app, call, meant, end);
  const pages = pagesOf(app);
  const contact = contactMeant(state, typed, '; only contacts have a page of their own.');
  if (end) {
    await pages.renew(state.id, contact.id);
    await app.mailAddresses?.renew(state.id, contact.id);
    return {
      lines: [
        `The link of ${contact.name} does not work any more. The next message to them brings another.`,
      ],
      private: true,
    };
  }
  if (personOf(state, call.actor.id)?.id !== contact.id) {
    throw new Refusal('not-yours', [
      `Only ${contact.name} sees that link: it stands in every message to them.`,
      [
        'If somebody else has got hold of it: ',
        { code: `/overdue link for:${typedText(contact.name)} end:yes` },
      ],
    ]);
  }
  const url = await pages.own(state.id, contact.id);
  return {
    lines: [
      [{ code: url }],
      "Your own page: what is known, what to do, and how to answer. It is yours alone; don't pass it on.",
    ],
    links: [{ label: 'Open your page', url }],
    private: true,
  };
}

/** Shown to who posts by it alone: what is sent there goes into the record under their name. */
async function ownAddress(app: App, call: Call, person: Person, end: boolean): Promise<Reply> {
  const { mailAddresses: addresses } = app;
  if (addresses === undefined) {
    throw new Refusal('no-page', [
      'No mail is read here, so a device can post nothing by it.',
      'Whoever runs tagline can turn it on by setting IMAP_HOST.',
    ]);
  }
  const { state } = await look(app, call, 'act');
  if (end) {
    await addresses.renew(state.id, person.id);
    return {
      lines: [`The address of ${person.name} does not work any more. /overdue link makes another.`],
      private: true,
    };
  }
  if (personOf(state, call.actor.id)?.id !== person.id) {
    throw new Refusal('not-yours', `Only ${person.name} sees that address.`);
  }
  return {
    lines: [
      [{ code: await addresses.address(state.id, { person: person.id, to: '' }) }],
      'Mail from a satellite device or a phone to this address is posted under your name. It is yours alone: who knows it can post.',
      'Write in the first line: P5 done 1422 · all well · all down · help, and what is wrong. An answer comes back in 140 characters.',
    ],
    private: true,
  };
}

async function endLink(app: App, call: Call, whose: Whose): Promise<Reply> {
  const pages = pagesOf(app);
  const { state } = await look(app, call, 'act');
  const was = await pages.revoke(state.id, whose);
  return {
    lines: [was ? 'The link does not work any more.' : 'There was no link.'],
    private: true,
  };
}
