import { wordsOf } from '../alarm/words/home.ts';
import { overButton } from '../alarm/words/trouble.ts';
import type { Call } from '../record/call.ts';
import { personOf } from '../record/membership.ts';
import { languageOf } from '../say/contact/languages.ts';
import { CATALOGUE, ENGLISH, type Key, type Words, wordsIn } from '../say/contact/words.ts';
import type { Button, Reply } from '../say/reply.ts';
import type { TripState } from '../trip/state.ts';
import type { App } from './app.ts';

/**
 * The words of an answer: a contact's own where nobody else reads it, on their page, by mail and in direct
 * messages; English in a channel.
 */
export function wordsToward(state: TripState, call: Call): Words {
  return call.where.direct ? wordsOf(personOf(state, call.actor.id), call.locale) : ENGLISH;
}

/**
 * The same where no command has read the record: by the trip of the call or their only open one, else as their chat
 * says. Never rejects: what can't be read, or is being closed, keeps no answer back.
 */
export async function wordsOfCaller(
  app: Pick<App, 'store' | 'records'>,
  call: Call,
): Promise<Words> {
  if (!call.where.direct) return ENGLISH;
  try {
    const row =
      call.trip === undefined ? await onlyTrip(app, call) : await app.store.trip(call.trip);
    if (row !== undefined && row.seq > 0) {
      return wordsToward((await app.records.read(row)).state, call);
    }
  } catch {
    // What keeps a trip from being read is said by whoever needs it.
  }
  const language = languageOf(call.locale);
  return language === undefined ? ENGLISH : wordsIn(language);
}

async function onlyTrip({ store }: Pick<App, 'store'>, { actor }: Call) {
  const [only, second] = await store.openTripsOf(actor.id);
  return second === undefined ? only : undefined;
}

/** Whether a contact alone reads the answer: who can agree no times for the party, and knows no posts. */
export function isAtHome(state: TripState, call: Call): boolean {
  const reader = call.where.direct ? personOf(state, call.actor.id) : undefined;
  return reader?.roles.every((role) => role === 'contact') === true;
}

/**
 * A refusal as its reader reads it. Rules give their reasons in English; in another language each kind of reason
 * has one sentence, and where it has none the English one follows, said to be English.
 */
export function inTheirWords(w: Words, reply: Reply): Reply {
  if (w.language === 'en' || reply.refused !== true) return reply;
  const key = `refused.${reply.code ?? ''}`;
  const lines = isKey(key)
    ? [(w.say as (key: Key) => string)(key)]
    : [w.say('refused.other'), ...reply.lines];
  return {
    ...reply,
    lines,
    after: [],
    ...(reply.buttons === undefined ? {} : { buttons: reply.buttons.map((b) => faced(w, b)) }),
  };
}

function isKey(key: string): key is Key {
  return Object.hasOwn(CATALOGUE.en, key);
}

/** A button of a refusal with its face in their language; one that is called by names stays as it is. */
export function faced(w: Words, button: Button): Button {
  const { path, options } = button.press;
  const { how, sure, answer, trouble } = options as Record<string, string | number | boolean>;
  const label = ((): string | undefined => {
    if (path === 'overdue ack') return w.text('button.ack');
    if (path === 'overdue sheet') return w.text('button.sheet');
    if (path === 'pitch strike') return w.text('button.undo');
    if (path === 'checkin contact') {
      return w.text(answer === 'yes' ? 'button.yesAfterAll' : 'button.leaveSure');
    }
    if (path === 'overdue resolve' && how === 'called') return w.text('button.called');
    if (path === 'overdue resolve' && how === 'stood-down') return w.text('button.stoodDown');
    if (path === 'overdue resolve' || path === 'checkin ok') {
      if ('who' in options) return undefined;
      if (sure === true) return w.text('button.allWell');
      return how === 'fine' ? w.text('button.fine') : undefined;
    }
    return undefined;
  })();
  if (path === 'trouble over' && typeof trouble === 'number')
    return overButton({ seq: trouble }, w);
  if (path === 'trouble report' && button.ask !== undefined) {
    const title = w.text('button.report');
    return {
      label: title,
      tone: 'danger',
      press: { path: 'trouble report', options: {} },
      ask: {
        title,
        fields: [
          { name: 'what', label: w.text('button.reportWhat') },
          { name: 'where', label: w.text('button.reportWhere') },
        ],
      },
    };
  }
  return label === undefined ? button : ({ ...button, label } as Button);
}
