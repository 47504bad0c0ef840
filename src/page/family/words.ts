import { lastSign, unmet, watched } from '../../alarm/expectations.ts';
import { phaseNow, reached } from '../../alarm/ladder.ts';
import { hasInHand } from '../../alarm/repeats.ts';
import { FIELD } from '../../alarm/who.ts';
import { calledOut } from '../../alarm/words/glance.ts';
import { awaited, type Home, lengthIn, when } from '../../alarm/words/home.ts';
import type { Words } from '../../say/contact/words.ts';
import type { Line } from '../../say/reply.ts';
import { isOver } from '../../trip/mode.ts';
import { nameOf } from '../../trip/state.ts';

/** When they were heard last, and when they mean to be heard next. */
export function heardLines(h: Home): Line[] {
  return [...lastLine(h), ...nextLine(h)];
}

function lastLine(h: Home): Line[] {
  const { w, state, nowMs } = h;
  if (isOver(state) || state.departedAtMs === undefined) return [];
  const sign = lastSign(state);
  if (sign === undefined) return [w.say('sheet.nothingHeard')];
  const ago = lengthIn(w, Math.max(0, (nowMs - sign.atMs) / 60_000));
  return [w.say('family.last', { when: when(h, sign.atMs), ago })];
}

function nextLine(h: Home): Line[] {
  const { w, state, nowMs } = h;
  if (isOver(state)) return [w.say('family.over')];
  if (!watched(state)) return [w.say('family.notLeft')];
  const [next] = unmet(state);
  if (next === undefined) return [w.say('family.noPromise')];
  // What is open of a trouble stands above.
  if (next.kind === 'trouble') return [];
  return [w.say(next.dueMs < nowMs ? 'family.late' : 'family.next', { what: awaited(h, next) })];
}

/** What stands and who acts; empty while all is as it should be. */
export function alarmLines(
  h: Home,
  contacts: readonly { name: string }[],
): { title: string; lines: Line[] } | undefined {
  const { w, state, nowMs } = h;
  const raised = phaseNow(state);
  if (raised === undefined) return undefined;
  const told = [...reached(state)].filter(([group]) => group !== FIELD);
  const inHand = told.filter(([group, r]) => hasInHand(state, group, r, nowMs));
  const names = (all: typeof told) => ({
    names: w.list(all.map(([group]) => nameOf(state, group))),
  });
  const who =
    contacts.length === 0 ? w.text('family.contact') : w.list(contacts.map(({ name }) => name));
  const call = calledOut(state);
  const grave = raised.phase === 'distress';
  const done: Line[] = [
    ...(told.length === 0 ? [] : [w.say('family.told', names(told))]),
    ...(inHand.length === 0 ? [] : [w.say('family.inHand', names(inHand))]),
    ...(call === undefined
      ? []
      : [w.say('family.called', { when: when(h, call.atMs), by: call.by.name })]),
    w.say(grave && call === undefined ? 'family.ringNow' : 'family.ringFirst', { who }),
  ];
  const due = { when: when(h, raised.dueMs) };
  if (raised.root.startsWith('trouble:')) {
    return {
      title: w.text('family.trouble'),
      lines: [w.say('family.troubleWhen', due), ...done],
    };
  }
  const calm = raised.phase === 'due' || raised.phase === 'uncertainty';
  return {
    title: w.text(grave ? 'family.long' : 'family.areLate'),
    lines: [w.say(calm ? 'family.due' : 'family.dueGrave', due), ...done],
  };
}

/** What happens if they are not heard from, while they may still be. */
export function silentLine(w: Words, contacts: readonly { name: string }[]): string {
  const names = w.list(contacts.map(({ name }) => name));
  return contacts.length === 0
    ? w.text('family.nobody')
    : w.text('family.ifLate', { names, n: contacts.length });
}
