import type { Words } from '../say/contact/words.ts';
import { bare } from '../say/message.ts';
import type { Fact } from '../trip/fact.ts';
import { kindOf } from '../trip/kinds/index.ts';
import { signWords } from '../trip/signs.ts';
import type { TripState } from '../trip/state.ts';
import type { Sign } from '../trip/watch-state.ts';
import type { SheetEntry } from './sheet.ts';
import { heardIn, signIn } from './words/heard.ts';
import type { Home } from './words/home.ts';
import { heardWords } from './words/mode.ts';

/** Entries kept: the whole story of two days fits, a page stays a page. */
const TIMELINE_MAX = 40;

function entryOf({ w, state }: Home, sign: Sign): SheetEntry {
  const { atMs, recordedAtMs: toldMs, by } = sign;
  const words = w.language === 'en' ? signWords(state, sign) : signIn(w, state, sign);
  return { atMs, toldMs, by: by.name, words };
}

/** The last that was heard, with what it means for them now. */
export function heardOf(h: Home, sign: Sign): SheetEntry {
  const { w, state, nowMs } = h;
  const words = w.language === 'en' ? heardWords(state, sign, nowMs) : bare(heardIn(h, sign));
  return { ...entryOf(h, sign), words };
}

/** What was told of trouble, in the words of a language; in English as the log has it. */
function troubleIn(w: Words, state: TripState, fact: Fact): string {
  if (w.language !== 'en') {
    if (fact.kind === 'trouble.reported')
      return w.text('sheet.tlTrouble', { what: fact.data.what });
    if (fact.kind === 'trouble.updated')
      return w.text('sheet.tlUpdate', { words: fact.data.words });
    if (fact.kind === 'trouble.over') return w.text('sheet.tlOver', { said: fact.data.said });
  }
  return kindOf(fact.kind).say(fact.data, state);
}

/** Signs of life, and what was told of trouble, which is none: by time, the newest that a page holds. */
export function timelineOf(h: Home): SheetEntry[] {
  const { w, state } = h;
  const signs = state.watch.signs.map((sign) => entryOf(h, sign));
  const trouble = state.entries.flatMap(({ event, struckBy }): SheetEntry[] => {
    if (struckBy !== undefined || !event.kind.startsWith('trouble.')) return [];
    const { atMs, recordedAtMs: toldMs, by } = event;
    return [{ atMs, toldMs, by: by.name, words: troubleIn(w, state, event) }];
  });
  return [...signs, ...trouble].sort((a, b) => a.atMs - b.atMs).slice(-TIMELINE_MAX);
}
