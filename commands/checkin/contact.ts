import {
  everyWay,
  isLocal,
  isUnconfirmed,
  type WayTo,
  waysSaid,
  waysTo,
} from '../../src/alarm/consent.ts';
import { watched } from '../../src/alarm/expectations.ts';
import { BY_PAGE, reachable } from '../../src/alarm/who.ts';
import { answerButton, answerLines, roleLines } from '../../src/alarm/words/contact.ts';
import type { App } from '../../src/app/app.ts';
import { askedWords, nothingToAnswer } from '../../src/app/asking-contacts.ts';
import { type Args, type Call, type Options, sub } from '../../src/app/command.ts';
import { sameCode } from '../../src/app/invitations.ts';
import { wordsToward } from '../../src/app/toward.ts';
import { type Changed, change } from '../../src/record/change.ts';
import { personOf } from '../../src/record/membership.ts';
import { LANGUAGES, type Language, languageOf } from '../../src/say/contact/languages.ts';
import { type Words, wordsIn } from '../../src/say/contact/words.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';
import type { Draft } from '../../src/trip/fact.ts';
import type { Person } from '../../src/trip/people.ts';
import { personById, type TripState } from '../../src/trip/state.ts';
import { BY_LINK, TURNED_ON } from '../../src/trip/ways.ts';
import { contactMeant, contactOption } from '../overdue/contact.ts';

const options = {
  answer: {
    type: 'string',
    description: 'Whether you will be contact; what you read; or have somebody asked again',
    required: true,
    choices: [
      { name: 'yes', value: 'yes' },
      { name: 'no, or no longer', value: 'no' },
      { name: 'ask them again', value: 'again' },
      { name: 'in English', value: 'en' },
      { name: 'auf Deutsch', value: 'de' },
    ],
  },
  for: contactOption('Another contact: who gave you their code, or is to be asked again'),
  code: {
    type: 'string',
    description: 'The code that stands in the message to them',
    maxLength: 20,
  },
  /** They leave a party that is out, and were asked back. */
  sure: { type: 'boolean', description: 'Asked before', hidden: true },
  /** They pressed where nobody could ask them back: it is done by a message. */
  unasked: { type: 'boolean', description: 'Ask back by message', hidden: true },
} as const satisfies Options;

declare module '../../src/say/press.ts' {
  interface Paths {
    'checkin contact': typeof options;
  }
}

type Told = Args<typeof options>;

/** A contact agrees to be one, or leaves. Only where they have said so are they told anything. */
export const contact = sub({
  description: 'Say yes or no to being the contact at home',
  access: 'act',
  options,
  run(call, args, app) {
    const { answer } = args;
    if (answer === 'again') return askOnceMore(app, call, args);
    return answer === 'yes' || answer === 'no'
      ? answered(app, call, args, answer)
      : speaks(app, call, args, answer);
  },
});

/** What they read from now on. Who has not answered yet is shown once more what they are asked. */
function speaks(app: App, call: Call, args: Told, language: Language): Promise<Reply> {
  let person: Person | undefined;
  return change(app, call, {
    decide({ state }) {
      person = personById(state, waysMeant(app, state, call, args)[0]?.person ?? '');
      if (person === undefined) throw nothingToAnswer('You');
      const locale = languageOf(call.locale) === language ? (call.locale ?? language) : language;
      if (person.locale === locale) return [];
      return [{ kind: 'roster.edited', data: { id: person.id, patch: { locale } } }];
    },
    answer({ after }) {
      const w = wordsIn(language);
      const note = LANGUAGES[language].unreviewed;
      const lines = [w.say('done.language'), ...(note === undefined ? [] : [note])];
      if (person === undefined || !isUnconfirmed(after, person)) return { lines };
      const proof = args.code === undefined ? {} : { code: args.code };
      return {
        lines: [...lines, ...roleLines(after, w), ...answerLines(w)],
        buttons: [
          answerButton('yes', w.text('button.yes'), proof),
          answerButton('no', w.text('button.no'), proof),
        ],
      };
    },
  });
}

/** What their own program says that they read, kept where they have picked nothing. */
function localeDrafts(call: Call, person: Person): Draft[] {
  const { locale } = call;
  const known = person.locale !== undefined || languageOf(locale) === undefined;
  if (known || locale === undefined || !call.where.direct) return [];
  return [{ kind: 'roster.edited', data: { id: person.id, patch: { locale } } }];
}

async function answered(app: App, call: Call, args: Told, answer: 'yes' | 'no'): Promise<Reply> {
  let ways: readonly WayTo[] = [];
  const reply = await change(app, call, {
    // Nobody is kept who wants to leave: what it takes from the watch is told to the party.
    weakens: 'agreed',
    decide({ state }) {
      ways = waysMeant(app, state, call, args);
      const [first] = ways;
      const person = personById(state, first?.person ?? '');
      if (first === undefined || person === undefined) throw nothingToAnswer('You');
      if (answer === 'no' && args.sure !== true && leaves(state, person, ways)) {
        if (args.unasked === true)
          return [{ kind: 'contact.leaving', data: { person: person.id } }];
        throw leaveAsked(state, args);
      }
      const open = ways.filter((w) => !waysSaid(state, person, answer).some((s) => same(s, w)));
      const drafts = open.map(
        (way) => ({ kind: 'contact.answered', data: { ...way, answer } }) satisfies Draft,
      );
      return [...localeDrafts(call, person), ...drafts];
    },
    answer: (changed) => words(changed, ways, args, wordsToward(changed.after, call)),
  });
  if (reply.refused !== true && args.unasked !== true) {
    for (const way of ways) await app.invitations.said(way, answer, call.atMs);
  }
  return reply;
}

/** The ways by which this answer may be given: those that the code, the account or the page proves. */
function waysMeant(app: App, state: TripState, call: Call, { code, for: whom }: Told): WayTo[] {
  const meant =
    whom === undefined ? undefined : contactMeant(state, whom, ', so there is nothing to answer.');
  if (code !== undefined) {
    const way = everyWay(state)
      .filter((w) => meant === undefined || w.person === meant.id)
      .find((w) => sameCode(code, app.invitations.code(state.id, w)));
    if (way !== undefined) return [way, ...ownBrowsers(state, way)];
    throw new Refusal('no-such-choice', [
      'That is not the code of an invitation to this trip.',
      'It stands in the message to the contact: two times four letters or digits.',
    ]);
  }
  const self = personOf(state, call.actor.id);
  if (self?.roles.includes('contact') !== true || (meant !== undefined && meant.id !== self.id)) {
    throw new Refusal('not-yours', [
      'Only a contact says whether they want to be one.',
      [
        'They answer the message to them, or give you its code: ',
        { code: '/checkin contact answer:yes for: code:' },
      ],
    ]);
  }
  const all = waysTo(state, self);
  // At the local channel, and for a no, one word speaks for all of a person's ways.
  if (isLocal(state)) return all;
  const agreed = waysSaid(state, self, 'yes');
  if (call.actor.id.startsWith(BY_PAGE)) return agreed;
  const own = all.filter((w) => w.way === 'dm' && w.to === call.actor.id);
  return [...own, ...agreed.filter((w) => !own.some((o) => same(o, w)))];
}

/** A link that was handed over stands for every browser in which push was turned on by it, and for a topic. */
function ownBrowsers(state: TripState, { person, to }: WayTo): WayTo[] {
  const who = to === BY_LINK ? personById(state, person) : undefined;
  return who === undefined
    ? []
    : waysSaid(state, who, 'yes').filter((w) => TURNED_ON.some((own) => own === w.way));
}

const same = (a: WayTo, b: WayTo) => a.person === b.person && a.way === b.way && a.to === b.to;

/** Whether a party that is out would lose this contact. */
function leaves(state: TripState, person: Person, ways: readonly WayTo[]): boolean {
  if (!watched(state) || !reachable(state).some((p) => p.id === person.id)) return false;
  return waysSaid(state, person, 'yes').every((w) => ways.some((o) => same(o, w)));
}

function leaveAsked(state: TripState, { code }: Told): Refusal {
  const others = reachable(state).length > 1;
  const proof = code === undefined ? {} : { code };
  const button = answerButton('no', 'Leave all the same', { sure: true, ...proof });
  return new Refusal(
    'watch-weaker',
    [
      'The party is out now and counts on you. Nothing is changed yet.',
      others
        ? 'If you leave, the other contact is told in your place, and the party hears that you left.'
        : 'If you leave, NOBODY at home is told when they are late. The party hears that you left, if they can be reached.',
    ],
    [button],
  );
}

function words(
  { before, after }: Changed,
  ways: readonly WayTo[],
  { answer, unasked, code }: Told,
  w: Words,
): Reply {
  const person = personById(after, ways[0]?.person ?? '');
  const name = person?.name ?? '';
  if (answer === 'yes') {
    const was = person !== undefined && !isUnconfirmed(before, person);
    const first = w.say(was ? 'done.contactAlready' : 'done.contact', { name });
    return {
      lines: [
        first,
        w.say(watched(after) ? 'done.contactOut' : 'done.contactBefore'),
        w.say('done.leaveHow', { command: { code: '/checkin contact answer:no' } }),
      ],
    };
  }
  if (unasked === true && person !== undefined && waysSaid(after, person, 'yes').length > 0) {
    return {
      lines: [w.say('done.leaving'), w.say('done.leavingThen')],
    };
  }
  const stays = person !== undefined && waysSaid(after, person, 'yes').length > 0;
  return {
    lines: [stays ? w.say('done.leftHere') : w.say('done.left', { name }), w.say('done.leftBack')],
    buttons: [
      answerButton('yes', w.text('button.yesAfterAll'), code === undefined ? {} : { code }),
    ],
  };
}

/** A link is handed over by the party: no message goes out for it. */
const unsentBy = ({ to }: WayTo) => (to === BY_LINK ? ({ unsent: true } as const) : {});

function askOnceMore(app: App, call: Call, { for: whom }: Told): Promise<Reply> {
  return change(app, call, {
    async decide({ state }) {
      if (whom === undefined) {
        throw new Refusal('needs-value', 'Whom? Like /checkin contact answer:again for:Dana');
      }
      const person = contactMeant(state, whom, ', so they are not asked.');
      const open = [...waysSaid(state, person, 'asked'), ...waysSaid(state, person, 'unsent')];
      if (open.length === 0) throw nothingToAnswer(person.name);
      const sent = open.filter((way) => way.to !== BY_LINK);
      const wait = await app.invitations.mayAsk(call, sent);
      if (wait !== undefined) throw wait;
      return open.map((way) => ({ kind: 'contact.asked', data: { ...way, ...unsentBy(way) } }));
    },
    answer: ({ before, after }) => ({ lines: askedWords(app, before, after) }),
  });
}
