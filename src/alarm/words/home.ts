import { hoursOf, languageOf } from '../../say/contact/languages.ts';
import { ENGLISH, type Words, wordsIn } from '../../say/contact/words.ts';
import type { Hours } from '../../say/hours.ts';
import type { InstantPiece, Line, Piece } from '../../say/reply.ts';
import { duration } from '../../time/format.ts';
import { dayClockIn } from '../../time/in-language.ts';
import { heardOfParts, isSplit } from '../../trip/parts.ts';
import type { Person } from '../../trip/people.ts';
import { nameOf, personById, present, type TripState } from '../../trip/state.ts';
import type { Sign } from '../../trip/watch-state.ts';
import { emergencyNumbers } from '../emergency.ts';
import { type Expectation, lastSign, unmet } from '../expectations.ts';
import { heardIn, namesPitch } from './heard.ts';
import { bothTimes } from './reader.ts';

/** What is said to somebody at home: in their words, of this trip, at this moment. */
export interface Home {
  w: Words;
  state: TripState;
  nowMs: number;
  /** Where they wait, if it isn't the wall's time there: every time is then said by both clocks. */
  own?: string | undefined;
}

/** The words that somebody reads: a contact's own as far as they are known, else English. */
export function wordsFor(state: TripState, to: string, locale?: string): Words {
  return wordsOf(personById(state, to), locale);
}

/** The same of a person; `locale` is what their program says of itself, where they have picked nothing. */
export function wordsOf(
  person: Pick<Person, 'locale' | 'roles'> | undefined,
  locale?: string,
): Words {
  if (person?.roles.includes('contact') !== true) return ENGLISH;
  const language = languageOf(person.locale ?? locale);
  return language === undefined || language === 'en' ? ENGLISH : wordsIn(language);
}

/** The clock that somebody reads: of their own part of the world where it is known, else the trip's. */
export function hoursFor(state: TripState, person: Pick<Person, 'locale'> | undefined): Hours {
  return hoursOf(person?.locale) ?? state.settings.hours;
}

/** An instant in the wall's time, and in theirs where that is another one and known. */
export function when(h: Home, atMs: number): InstantPiece {
  const { w, state, nowMs, own } = h;
  const text =
    own === undefined ? dayClockIn(w.language, state.zone, atMs, nowMs) : bothTimes(h, own, atMs);
  return { text, atMs };
}

/** `40 min`, `2 h 05`, `3 d 4 h`. */
export function lengthIn(w: Words, min: number): string {
  const hours = Math.round(Math.abs(min) / 60);
  if (Math.floor(Math.round(Math.abs(min)) / 60) < 72) return duration(min);
  const [days, rest] = [Math.floor(hours / 24), hours % 24];
  return rest === 0
    ? w.text('time.days', { days })
    : w.text('time.daysHours', { days, hours: rest });
}

/** `Mara, Jonas and Ines`, by ids. */
export function whoIn(w: Words, state: TripState, who: readonly string[]): string {
  return who.length === 0 ? w.text('who.somebody') : w.list(who.map((id) => nameOf(state, id)));
}

/** Those names; `nobody` for none. */
export function namesIn(w: Words, people: readonly Pick<Person, 'name'>[]): string {
  return people.length === 0 ? w.text('who.nobody') : w.list(people.map((p) => p.name));
}

/** The climbers by name, and how many there are, for the verb that goes with them. */
export function partyIn({ w, state }: Pick<Home, 'w' | 'state'>): { party: string; count: number } {
  const party = present(state).filter((p) => p.roles.includes('climber'));
  return {
    party: party.length === 0 ? w.text('who.party') : namesIn(w, party),
    count: party.length,
  };
}

/** The number to call, or how to name it when none was given; as the object of a sentence. */
export function numberIn(w: Words, { emergencyNumber }: TripState): string {
  const { local, direct } = emergencyNumbers(emergencyNumber);
  if (local === undefined && direct === undefined) return w.text('emergency.none');
  if (local === undefined) return w.text('emergency.direct', { direct: direct ?? '' });
  return direct === undefined
    ? w.text('emergency.local', { local })
    : w.text('emergency.both', { local, direct });
}

/** To a contact who may be far from the wall, where only the local number is known. */
export function elsewhereLines({ w, state }: Pick<Home, 'w' | 'state'>): Line[] {
  const { local, direct } = emergencyNumbers(state.emergencyNumber);
  return local === undefined || direct !== undefined
    ? []
    : [w.say('emergency.elsewhere', { local })];
}

/** What is awaited, with its time: `a check-in of Jonas at Thu 18:00`. */
export function awaited(h: Home, e: Pick<Expectation, 'kind' | 'about' | 'who' | 'dueMs'>): Line {
  const { w } = h;
  const due = { when: when(h, e.dueMs) };
  const what = ((): Line => {
    if (e.kind === 'checkin' || e.kind === 'nightly') {
      return e.who === undefined
        ? w.say(`expected.${e.kind}`, due)
        : w.say(`expected.${e.kind}Of`, { ...due, who: whoIn(w, h.state, e.who) });
    }
    return w.say(`expected.${e.kind}`, due);
  })();
  return e.about === undefined ? what : w.say('expected.about', { what, about: e.about });
}

/** What the watch waits for next. */
export function nextOpen(h: Home): Line[] {
  const [next] = unmet(h.state);
  if (next === undefined) return [];
  return [h.w.say(next.dueMs <= h.nowMs ? 'next.open' : 'next.next', { what: awaited(h, next) })];
}

/** Last sign of life with its time, source and how late it was told; of each part where the party has split. */
export function lastHeardIn(h: Home): Line {
  const { w, state } = h;
  const parts = isSplit(state) ? heardOfParts(state) : [{ who: undefined, sign: lastSign(state) }];
  const said = parts.map(({ who, sign }) => {
    const heard = heardOnce(h, sign);
    return who === undefined ? heard : w.say('heard.part', { who: whoIn(w, state, who), heard });
  });
  const over = overSince(h);
  const explained = parts.some(({ sign }) => sign !== undefined && namesPitch(state, sign));
  return [
    ...said,
    ...(over === undefined ? [] : [over]),
    ...(explained ? [w.say('heard.pitch')] : []),
  ].flatMap((line, i): Piece[] => [
    ...(i === 0 ? [] : [' ']),
    ...(typeof line === 'string' ? [line] : line),
  ]);
}

/** A word that a trouble was over is no sign of life of them all, but it is the newest that was heard. */
function overSince(h: Home): Line | undefined {
  const { w, state } = h;
  const over = state.troubles
    .flatMap((t) => t.over ?? [])
    .sort((a, b) => a.atMs - b.atMs)
    .at(-1);
  if (over === undefined || over.atMs <= (lastSign(state)?.atMs ?? 0)) return undefined;
  return w.say('heard.troubleOver', {
    when: when(h, over.atMs),
    words: over.said,
    by: over.by.name,
  });
}

function heardOnce(h: Home, sign: Sign | undefined): Line {
  const { w, nowMs } = h;
  if (sign === undefined) return w.say('heard.nothing');
  const late = sign.recordedAtMs - sign.atMs >= 60_000;
  const said = {
    when: when(h, sign.atMs),
    ago: lengthIn(w, Math.max(0, (nowMs - sign.atMs) / 60_000)),
    what: heardIn(h, sign),
    by: sign.by.name,
  };
  return late
    ? w.say('heard.lastTold', { ...said, told: when(h, sign.recordedAtMs) })
    : w.say('heard.last', said);
}

/** `Mara +47 …, Greta +47 …`; empty when none was given. */
export function phonesIn(state: TripState, roles: readonly ('climber' | 'ground')[]): string {
  return present(state)
    .filter((p) => p.phone !== undefined && roles.some((r) => p.roles.includes(r)))
    .map((p) => `${p.name} ${p.phone}`)
    .join(', ');
}

/** Who did it; both, where one asked and another agreed. */
export function byWords(w: Words, by: string, asker: string | undefined): string {
  return asker === undefined || asker === by ? by : w.text('who.agreed', { asker, by });
}
