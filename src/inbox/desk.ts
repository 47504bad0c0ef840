import { phaseNow } from '../alarm/ladder.ts';
import { standDownOf } from '../alarm/stand-down.ts';
import { accountOf } from '../alarm/who.ts';
import { wordsOf } from '../alarm/words/home.ts';
import { forReader } from '../alarm/words/reader.ts';
import type { App } from '../app/app.ts';
import { dispatch } from '../app/dispatch.ts';
import type { MailAddresses } from '../app/mail-addresses.ts';
import { Rates } from '../app/rates.ts';
import { answering } from '../app/watch/parts.ts';
import { withAnswers } from '../delivery/answers.ts';
import type { Envelope, Ways } from '../delivery/ports.ts';
import type { Call } from '../record/call.ts';
import { pageUser } from '../record/membership.ts';
import type { Words } from '../say/contact/words.ts';
import { bare } from '../say/message.ts';
import type { Line, Reply } from '../say/reply.ts';
import { openTroubles } from '../trip/conditions.ts';
import { personById, type TripState } from '../trip/state.ts';
import { nonceFor } from './answer-id.ts';
import type { Incoming } from './incoming.ts';
import { type Answer, answerOf, postOf, spokenIn } from './meaning.ts';
import { type Pressed, pressesOf } from './presses.ts';
import { agreedBy, type Whose, whoseMail } from './whose.ts';

/** What words in by mail need. */
export interface DeskParts {
  app: App;
  addresses: MailAddresses;
  /** Undefined where no mail can be sent: then nothing is answered. */
  email: Ways['email'];
}

/** What a satellite device shows of an answer, in characters. */
const SHORT = 140;

/** What may be answered to an alarm. */
const answerWith = (w: Words) =>
  w.text('answer.with', {
    ack: w.text('word.ack'),
    called: w.text('word.called'),
    fine: w.text('word.fine'),
  });

/** To a word about an alarm, sent in answer to what came before it. */
const olderLines = (w: Words): Line[] => [
  w.say('answer.older'),
  `${w.text('answer.olderThen')} ${answerWith(w)}`,
];

/** Takes words that come in by mail, does what they say, and answers them the same way. */
export class Desk {
  readonly #parts: DeskParts;
  readonly #rates = new Rates();

  constructor(parts: DeskParts) {
    this.#parts = parts;
  }

  /** Whether a mail to these addresses may be taken: `later` when more came to one than anybody writes. */
  async knows(to: readonly string[]): Promise<'nobody' | 'now' | 'later'> {
    const whose = await whoseMail(this.#parts.app, this.#parts.addresses, to);
    if (whose === undefined) return 'nobody';
    const call = this.#call(whose, { id: '' });
    return this.#rates.counted(['mailIn'], call) === undefined ? 'now' : 'later';
  }

  /** Taking the same mail twice does what it says once. */
  async take(mail: Incoming): Promise<'taken' | 'ignored'> {
    const { app, addresses } = this.#parts;
    const whose = await whoseMail(app, addresses, mail.to);
    if (whose === undefined) return 'ignored';
    // RFC 3834, 2: who is away has read nothing. A device may well say that a program sent it.
    const own = whose.way === undefined ? mail.automatic !== 'replied' : mail.automatic === 'no';
    if (!own) return 'ignored';
    const reply = await (whose.way === undefined
      ? this.#post(whose, mail)
      : this.#answer(whose, mail));
    await this.#reply(whose, mail, reply);
    return 'taken';
  }

  /** A contact's words. */
  async #answer(whose: Whose, mail: Incoming): Promise<Reply> {
    const { app } = this.#parts;
    const { state, way } = whose;
    const said = answerOf(mail.text);
    const answered = await pressesOf(app.store, state.id, mail.answers);
    const knows = said?.is === 'stood down' ? callBefore(state, answered.ended) : undefined;
    const older = answered.other === true && knows === undefined;
    if (said !== undefined && older && isOfAlarm(said) && isAlarmed(state))
      return { lines: olderLines(wordsOf(whose.person)), refused: true };
    const press =
      said === undefined || way === undefined
        ? undefined
        : pressFor(
            said,
            agreedBy(state, way),
            knows === undefined ? answered : { alarm: knows },
            app.invitations.code(state.id, way),
          );
    if (press === undefined) return this.#unread(whose, mail);
    // Their own word says what they read, where they have picked nothing: a yes in German is one of German.
    const locale = said === undefined ? undefined : spokenIn(mail.text);
    const call = { ...this.#call(whose, mail), ...(locale === undefined ? {} : { locale }) };
    return dispatch(app, call, press.path, press.options);
  }

  /** The party's words. */
  async #post(whose: Whose, mail: Incoming): Promise<Reply> {
    const { app } = this.#parts;
    const post = postOf(mail.text);
    const call = this.#call(whose, mail);
    switch (post?.is) {
      case 'done': {
        const at = post.at === undefined ? {} : { at: post.at };
        return dispatch(app, call, 'pitch done', { number: post.number, ...at });
      }
      case 'well': {
        const words = post.words === undefined ? {} : { words: post.words };
        return dispatch(app, call, 'checkin ok', words);
      }
      case 'down':
        return dispatch(app, call, 'trip down', {});
      case 'trouble': {
        const wants = post.callout ? 'callout' : 'cope';
        const more = post.callout ? { wants: 'callout' } : {};
        if (openTroubles(whose.state).length > 0) {
          const told = await dispatch(app, call, 'trouble update', { words: post.what, ...more });
          if (told.refused !== true) return told;
        }
        return dispatch(app, call, 'trouble report', {
          what: post.what,
          condition: 'unknown',
          wants,
        });
      }
      default:
        return this.#unread(whose, mail);
    }
  }

  /** What can't be read is asked back, and shown to the channel: somebody there may understand it. */
  async #unread(whose: Whose, mail: Incoming): Promise<Reply> {
    const { app } = this.#parts;
    const { state, person, way } = whose;
    const w = wordsOf(person);
    const words = mail.text.replace(/\s+/gu, ' ').trim().slice(0, 280);
    const nowMs = app.clock.wallMs();
    const call = this.#call(whose, mail);
    if (words !== '' && this.#rates.counted(['mailUnread'], call) === undefined) {
      await app.records.write({
        trip: state.id,
        key: `${call.id}/shown`,
        nowMs,
        by: call.actor,
        decide: ({ state: now }) =>
          now.closedAtMs !== undefined
            ? []
            : [{ kind: 'mail.received', data: { person: person.id, words } }],
        answer: () => null,
      });
    }
    const lines =
      way === undefined
        ? ['NOT READ, shown to the others. Write: P5 done 1422 | all well | all down | help ...']
        : [
            w.say('answer.notRead'),
            // Who has not agreed is asked below as in the invitation.
            ...(agreedBy(state, way) ? [answerWith(w)] : []),
          ];
    return { lines, refused: true };
  }

  #call({ row, state, person, way }: Whose, mail: Pick<Incoming, 'id'>): Call {
    const account = way === undefined ? accountOf(state, person) : undefined;
    return {
      id: `mail:${mail.id}`,
      atMs: this.#parts.app.clock.wallMs(),
      actor: { id: account ?? pageUser(person), name: person.name },
      where: { channel: row.channel, direct: true },
      trip: row.id,
    };
  }

  async #reply(whose: Whose, mail: Incoming, reply: Reply): Promise<void> {
    const { app, addresses, email } = this.#parts;
    const { state, person, way } = whose;
    // A contact is answered where they are known to read; a device where it wrote from.
    const address = way?.to ?? mail.from;
    if (email === undefined || address === undefined) return;
    if (this.#rates.counted(['mailAnswers'], this.#call(whose, mail)) !== undefined) return;
    const after = (await app.records.load(state.id))?.state ?? state;
    const now = personById(after, person.id) ?? person;
    const w = wordsOf(now);
    const lines = [...reply.lines, ...(reply.after ?? [])].filter((line) => !namesCommand(line));
    // Who wants to leave a party that is out is asked back, and says so in earnest by mail as well.
    const asks = (reply.buttons ?? []).filter(
      ({ press: { path, options } }) => path === 'checkin contact' && 'sure' in options,
    );
    const told = { trip: state.id, nonce: nonceFor(mail.id), nowMs: app.clock.wallMs() };
    const envelope: Envelope =
      way === undefined
        ? {
            ...told,
            message: { subject: 'tagline', lines: [short(reply)] },
            replyTo: await addresses.address(state.id, { person: person.id, to: '' }),
          }
        : {
            ...told,
            ...(await withAnswers(
              answering(app),
              after,
              { to: person.id, leaving: asks.length > 0 },
              'email',
              forReader({ w, state: after, nowMs: told.nowMs }, now, {
                subject: w.text('answer.subject', { trip: state.name }),
                lines,
                ...(asks.length === 0 ? {} : { buttons: asks }),
              }),
            )),
          };
    const sent = await email({ address, name: person.name }, envelope);
    if (!sent.ok) app.log.warn({ why: sent.why }, 'a mail could not be answered');
  }
}

function pressFor(
  said: NonNullable<ReturnType<typeof answerOf>>,
  agreed: boolean,
  answered: Pressed,
  code: string,
): { path: string; options: Record<string, string | number | boolean> } | undefined {
  const alarm = answered.alarm === undefined ? {} : { alarm: answered.alarm };
  switch (said.is) {
    case 'yes':
      // To an alarm a yes may mean anything.
      return agreed ? undefined : { path: 'checkin contact', options: { answer: 'yes', code } };
    case 'no':
      if (agreed && !said.leave) return undefined;
      return {
        path: 'checkin contact',
        options: { answer: 'no', code, ...(said.sure ? { sure: true } : {}) },
      };
    case 'language':
      return { path: 'checkin contact', options: { answer: said.language, code } };
    case 'in hand':
      return { path: 'overdue ack', options: answered.drill === true ? { drill: true } : alarm };
    case 'called':
      return { path: 'overdue resolve', options: { how: 'called', ...alarm } };
    case 'well':
      return answered.alarm === undefined
        ? { path: 'checkin ok', options: { how: 'reached' } }
        : { path: 'overdue resolve', options: { how: 'fine', ...alarm } };
    case 'stood down':
      return { path: 'overdue resolve', options: { how: 'stood-down', ...alarm } };
  }
}

/** Words that a button of an alarm would carry. */
const isOfAlarm = ({ is }: Answer) => is !== 'yes' && is !== 'no' && is !== 'language';

/** The call-out that stood when an alarm ended by that entry: what its end asks about. */
function callBefore({ watch }: TripState, ended: number | undefined): number | undefined {
  return ended === undefined ? undefined : watch.called.findLast((c) => c.seq <= ended)?.seq;
}

/** Something stands that such a word could be taken for. */
const isAlarmed = (state: TripState) =>
  phaseNow(state) !== undefined || standDownOf(state) !== undefined;

/** Whoever writes a mail can type no command. */
function namesCommand(line: Line): boolean {
  return (
    typeof line !== 'string' &&
    line.some((p) => typeof p === 'object' && 'code' in p && p.code.startsWith('/'))
  );
}

/** An answer in 140 characters, the most important first. */
export function short(reply: Reply): string {
  const prefix =
    reply.refused === true && !/^NOT /u.test(bare(reply.lines[0] ?? '')) ? 'NOT NOTED: ' : '';
  const text =
    prefix +
    reply.lines
      .filter((line) => !namesCommand(line))
      .map(bare)
      .join(' ');
  const signs = [...text];
  if (signs.length <= SHORT) return text;
  const cut = signs.slice(0, SHORT - 1).join('');
  return `${cut.slice(0, Math.max(cut.lastIndexOf(' '), SHORT - 40))}…`;
}
