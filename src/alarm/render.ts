import { ENGLISH, type Words } from '../say/contact/words.ts';
import { inHours } from '../say/hours.ts';
import { fileName, type Message, textFile } from '../say/message.ts';
import type { FileOut } from '../say/reply.ts';
import { personById, type TripState } from '../trip/state.ts';
import { remindsOf } from './ahead.ts';
import { calendarFile, calendarMethod } from './calendar.ts';
import { isUnconfirmed, waysSaid } from './consent.ts';
import { unmet, watched } from './expectations.ts';
import { stillNeeded } from './keeping.ts';
import { reached, standing } from './ladder.ts';
import { mayAsk } from './late.ts';
import type { NoticeData, What } from './notice.ts';
import { acked } from './repeats.ts';
import { sheetOf } from './sheet.ts';
import { sheetText } from './sheet-text.ts';
import { stopPassed } from './stop-time.ts';
import { FIELD } from './who.ts';
import { aheadMessage, askedMessage, removedMessage, stopMessage } from './words/asks.ts';
import {
  inviteMessage,
  lastResortMessage,
  leavingMessage,
  leftHomeMessage,
  leftMessage,
  mailMessage,
} from './words/contact.ts';
import { deafMessage, hearingMessage } from './words/deaf.ts';
import { earlyMessage } from './words/early.ts';
import { erasingMessage } from './words/erasing.ts';
import { movedFromHome, overFromHome } from './words/from-home.ts';
import { byWords, type Home, hoursFor, wordsFor, wordsOf } from './words/home.ts';
import { askMessage } from './words/move.ts';
import {
  calledMessage,
  drillMessage,
  endedMessage,
  overMessage,
  planMessage,
  readableMessage,
  unreachedMessage,
} from './words/news.ts';
import { phaseMessage } from './words/phase.ts';
import { changeLines } from './words/plan.ts';
import { forReader } from './words/reader.ts';
import { standDownMessage, stoodDownMessage } from './words/stand-down.ts';
import { stands } from './words/stands.ts';
import { lostMessage, topicMessage } from './words/ways.ts';

/** A message to send, or why nothing is to be sent. */
export type Rendered =
  | { send: Message & { calendar?: { method: 'PUBLISH' | 'CANCEL'; text: string } } }
  /** It no longer holds: why, in a word for the log and the metric. */
  | { drop: 'ended' | 'acknowledged' | 'overtaken' | 'moved' | 'gone' | 'reopened' };

/** What the words need beside the trip. */
export interface RenderOptions {
  nowMs: number;
  /** For ORGANIZER in calendar files. */
  organizer: string;
}

/**
 * The words of a notice from the record as it is now, just before it is sent; or why it need not be
 * sent any more. Whoever has pressed a button in the meantime is not told again.
 */
export function renderNotice(
  state: TripState,
  notice: Pick<NoticeData, 'to' | 'what'>,
  options: RenderOptions,
): Rendered {
  const made = madeOf(state, notice, options);
  if (!('send' in made)) return made;
  const person = personById(state, notice.to);
  const h = { w: wordsOf(person), state, nowMs: options.nowMs };
  const read = person === undefined ? {} : forReader(h, person, made.send);
  return { send: inHours({ ...made.send, ...read }, hoursFor(state, person)) };
}

function madeOf(
  state: TripState,
  { to, what }: Pick<NoticeData, 'to' | 'what'>,
  options: RenderOptions,
): Rendered {
  const { nowMs } = options;
  const h: Home = { w: wordsFor(state, to), state, nowMs };
  const left = to !== FIELD && personById(state, to)?.leftAtMs !== undefined;
  // Whoever was told of an alarm hears how it ends, whatever happened to the roster since.
  if (left && what.kind !== 'ended' && what.kind !== 'removed') return { drop: 'gone' };
  if (unheardOf(state, to)) return toUnconfirmed(h, to, what);
  switch (what.kind) {
    case 'phase':
      return phase(h, to, what);
    case 'ended':
      return ended(h, to, what);
    case 'early':
      return sent(earlyMessage(h, to, what.raised), 'ended');
    case 'asked':
      return sent(askedMessage(h, what.seq), 'acknowledged');
    case 'standdown':
      return sent(standDownMessage(h, to), 'acknowledged');
    case 'stooddown':
      return { send: stoodDownMessage(h, what.seq) };
    case 'ahead': {
      const about = remindsOf(state, what, nowMs);
      return about === undefined ? { drop: 'ended' } : { send: aheadMessage(state, about, nowMs) };
    }
    case 'removed':
      return removed(h, removedMessage(h, byWords(h.w, what.by, what.asker)), options);
    case 'called':
      return { send: calledMessage(h, what.seq) };
    case 'plan':
      if (calendarMethod(state) === 'CANCEL') return { drop: 'overtaken' };
      if (to === FIELD) return { send: movedFromHome(h, changeLines(h, what)) };
      return withCalendar(
        h,
        planMessage(h, [...changeLines(h, what), ...(what.departed ? [] : stands(h, to))]),
        options,
      );
    case 'over':
      if (calendarMethod(state) === 'PUBLISH') return { drop: 'overtaken' };
      if (to === FIELD) return { send: overFromHome(state, what.seq, nowMs) };
      return withCalendar(h, overMessage(h), options);
    case 'drill':
      return drill(h, to, what.seq);
    case 'ask': {
      if (!mayAsk(state, nowMs)) return { drop: 'moved' };
      const open = unmet(state);
      const still = [what, ...(what.also ?? [])].every(
        (t) => t.agreedMs > nowMs && open.some((e) => e.kind === t.what && e.dueMs === t.agreedMs),
      );
      return still ? { send: askMessage(state, what, nowMs) } : { drop: 'moved' };
    }
    case 'stop': {
      const passed = stopPassed(state, nowMs);
      const same = passed?.night === what.night && passed.done === what.done;
      return same ? { send: stopMessage(state, passed, what.ways, nowMs) } : { drop: 'moved' };
    }
    case 'invite':
      // They have said yes by another way; by this one they are asked as well.
      return invited(h, to, what.seq);
    case 'leaving':
      return { send: leavingMessage(h) };
    case 'lost': {
      const lost = state.entries.find(({ event }) => event.seq === what.seq)?.event;
      return lost?.kind === 'contact.lost'
        ? { send: lostMessage(h, lost.data, to) }
        : { drop: 'gone' };
    }
    case 'mail':
      return { send: mailMessage(state, what.seq) };
    case 'left':
      return to === FIELD
        ? { send: leftMessage(state, what.person, what.gone) }
        : sent(leftHomeMessage(h, to, what.person), 'ended');
    case 'unreached':
      return { send: unreachedMessage(h, to, what.person, what.next) };
    case 'deaf':
      return watched(state) ? { send: deafMessage(h, to, what.sinceMs) } : { drop: 'ended' };
    case 'hearing':
      return { send: hearingMessage(h, to, what) };
    case 'unreadable':
      // The record was read to come here.
      return { drop: 'overtaken' };
    case 'erasing':
      return stillNeeded(state)
        ? { drop: 'overtaken' }
        : { send: erasingMessage(state, what.atMs) };
    case 'readable':
      return { send: readableMessage(state, nowMs) };
  }
}

/** Whether this is somebody who has not agreed to be told. */
function unheardOf(state: TripState, to: string): boolean {
  const person = personById(state, to);
  return person !== undefined && isUnconfirmed(state, person);
}

function invited(h: Home, to: string, seq: number): Rendered {
  const { state } = h;
  const person = personById(state, to);
  const asked = state.watch.consents.find((c) => c.askedSeq === seq);
  if (person === undefined || asked === undefined) return { drop: 'gone' };
  const waits = waysSaid(state, person, 'asked').some(
    (w) => w.way === asked.way && w.to === asked.to,
  );
  if (!waits) return { drop: 'acknowledged' };
  const isContact = asked.way === 'ntfy' && !isUnconfirmed(state, person);
  return { send: isContact ? topicMessage(h) : inviteMessage(h, to) };
}

/** Who never agreed gets the invitation, one word at distress, and how that ended. */
function toUnconfirmed(h: Home, to: string, what: What): Rendered {
  const { state } = h;
  if (what.kind === 'invite') return invited(h, to, what.seq);
  const person = personById(state, to);
  if (person === undefined || waysSaid(state, person, 'asked').length === 0)
    return { drop: 'gone' };
  if (what.kind === 'phase') {
    const raised = standing(state).find((r) => r.seq === what.raised);
    if (raised?.phase !== 'distress') return { drop: 'ended' };
    return { send: lastResortMessage(h, raised, to) };
  }
  if (what.kind !== 'ended') return { drop: 'gone' };
  if (reached(state).has(to)) return { drop: 'reopened' };
  return { send: endedMessage(h, to, what) };
}

/** A trouble's end is told whatever else has begun since; the end of all else only while it holds. */
function ended(h: Home, to: string, what: Extract<What, { kind: 'ended' }>): Rendered {
  const { state } = h;
  const still = reached(state).has(to);
  const back =
    what.why === 'over'
      ? standing(state).some((r) => r.seq === what.raised)
      : still !== (what.still === true);
  if (back) return { drop: 'reopened' };
  return { send: endedMessage(h, to, { ...what, still }) };
}

function sent(message: Message | undefined, drop: 'acknowledged' | 'ended'): Rendered {
  return message === undefined ? { drop } : { send: message };
}

/** With a file that cancels every entry, though the others go on. */
function removed(h: Home, message: Message, options: RenderOptions): Rendered {
  return withCalendar(h, message, options, 'CANCEL');
}

function phase(h: Home, to: string, what: Extract<What, { kind: 'phase' }>): Rendered {
  const { state, nowMs } = h;
  const raised = standing(state).find((r) => r.seq === what.raised);
  if (raised === undefined) return { drop: 'ended' };
  const top = reached(state).get(to);
  if (top !== undefined && top.seq !== raised.seq && what.instead === undefined) {
    return { drop: 'overtaken' };
  }
  const reminds = what.repeat !== undefined || what.lapsed !== undefined;
  if (reminds && acked(state, to, raised, nowMs)) return { drop: 'acknowledged' };
  const message = phaseMessage({
    ...h,
    raised,
    to,
    repeat: what.repeat,
    lapsed: what.lapsed,
    reopened: what.reopened,
    instead: what.instead,
  });
  const sheet = to !== FIELD && (raised.phase === 'alert' || raised.phase === 'distress');
  return { send: sheet ? { ...message, files: sheetFiles(h) } : message };
}

/** The sheet as text files, for a message or a mail: in what they read, and in English for a rescue service anywhere. */
function sheetFiles({ w, state, nowMs }: Home): FileOut[] {
  const file = (words: Words, end: string) =>
    textFile(
      `sheet-${fileName(state.name)}${end}.txt`,
      'text/plain',
      sheetText(sheetOf(state, nowMs, words), words),
    );
  const english = file(ENGLISH, '');
  return w.language === 'en' ? [english] : [file(w, `-${w.language}`), english];
}

function withCalendar(
  { w, state }: Home,
  message: Message,
  options: RenderOptions,
  chosen?: 'PUBLISH' | 'CANCEL',
): Rendered {
  const method = chosen ?? calendarMethod(state);
  const text = calendarFile(state, { ...options, w }, method);
  if (text === undefined) return { send: message };
  const name = `${fileName(state.name)}.ics`;
  return {
    send: {
      ...message,
      calendar: { method, text },
      files: [textFile(name, `text/calendar; charset=utf-8; method=${method}`, text)],
    },
  };
}

function drill(h: Home, to: string, seq: number): Rendered {
  const { state } = h;
  const found = state.watch.drills.find((d) => d.seq === seq);
  if (found?.ackedAtMs !== undefined) return { drop: 'acknowledged' };
  return { send: drillMessage(h, to) };
}
