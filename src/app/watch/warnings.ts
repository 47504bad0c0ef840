import { hasRefused, isUnconfirmed, waysSaid, waysTo } from '../../alarm/consent.ts';
import { emergencyNumbers } from '../../alarm/emergency.ts';
import { unmet } from '../../alarm/expectations.ts';
import { contacts, names, reachable } from '../../alarm/who.ts';
import { at, expected } from '../../alarm/words/common.ts';
import type { Reader } from '../../record/membership.ts';
import type { Line } from '../../say/reply.ts';
import { typedText } from '../../say/typed.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import type { App } from '../app.ts';

/**
 * What stands between this trip and an alarm that arrives, most important first.
 */
export function warnings(
  state: TripState,
  withoutMail: ReturnType<App['withoutMail']>,
  reader: Reader = 'crew',
): string[] {
  const all = contacts(state);
  if (all.length === 0) return [];
  const found = [
    ...wayWarnings(state, withoutMail),
    ...rehearsalWarnings(state),
    ...planWarnings(state),
  ];
  if (reader === 'crew')
    return [...unconfirmedWords(state), ...found.map(({ what, how }) => `${what}: ${how}`)];
  return found.map(({ what, ask }) => `${what}: ${ask}.`);
}

/** What is missing, how it is mended by whoever may, and what a contact asks for. */
interface Warning {
  what: string;
  how: string;
  ask: string;
}

const ASK_CREW = 'ask the party or the ground crew to see to it';

function wayWarnings(state: TripState, withoutMail: ReturnType<App['withoutMail']>): Warning[] {
  const all = contacts(state);
  const deaf = all.filter((p) => waysTo(state, p).length === 0);
  const mailOnly = all.filter((p) => waysLeft(state, p).join() === 'email');
  const byMail = all.filter((p) => waysLeft(state, p).includes('email'));
  return [
    ...warn(deaf.length > 0, {
      what: `No way to reach ${names(deaf)}`,
      how: '/roster edit email: or user:',
      ask: ASK_CREW,
    }),
    ...warn(withoutMail === 'none' && mailOnly.length > 0, {
      what: `E-mail isn't set up here, so nothing reaches ${names(mailOnly)}`,
      how: '/roster edit user:, or have SMTP_HOST set.',
      ask: ASK_CREW,
    }),
    ...warn(withoutMail === 'refused' && byMail.length > 0, {
      what: `The mail server takes no mail from us now, so no e-mail reaches ${names(byMail)}`,
      how: 'tell whoever runs the bot, or give another way: /roster edit user:.',
      ask: 'tell whoever runs the bot; keep an eye on the chat meanwhile',
    }),
  ];
}

function rehearsalWarnings(state: TripState): Warning[] {
  const { drills, unreached } = state.watch;
  const lost = reachable(state).filter((p) => {
    const last = unreached.findLast((u) => u.person === p.id);
    const drilled = drills.findLast((d) => d.to === p.id)?.ackedAtMs;
    return last !== undefined && (drilled === undefined || drilled < last.atMs);
  });
  const undrilled = reachable(state).filter(
    (p) => !drills.some((d) => d.to === p.id && d.ackedAtMs !== undefined),
  );
  return [
    ...warn(lost.length > 0, {
      what: `${names(lost)} could not be reached when it was tried`,
      how: 'mend it, then /checkin drill.',
      ask: ASK_CREW,
    }),
    ...warn(undrilled.length > 0, {
      what: `No rehearsal acknowledged by ${names(undrilled)}`,
      how: '/checkin drill.',
      ask: 'ask the party or the ground crew for one',
    }),
  ];
}

function planWarnings(state: TripState): Warning[] {
  const { plan, nightly, promises } = state.watch;
  const { local, direct } = emergencyNumbers(state.emergencyNumber);
  const times = [plan.downMs, plan.topoutMs, nightly];
  const timeless = promises.length === 0 && times.every((t) => t === undefined);
  return [
    ...warn(timeless, {
      what: 'No time is promised, so nobody is asked before a day has passed',
      how: '/checkin plan down:',
      ask: 'agree one with them',
    }),
    ...warn(local !== undefined && direct === undefined, {
      what: `${local} works near the wall only`,
      how: `add the rescue service's direct number, like /trip edit emergency:"${local}, +1 555 0100".`,
      ask: "from far away call your own emergency number and say where they are; ask the party for the rescue service's direct number",
    }),
    ...warn(plan.calloutMs === undefined, {
      what: 'No call-out time is agreed',
      how: '/checkin plan callout:',
      ask: 'agree one with them',
    }),
  ];
}

const warn = (is: boolean, warning: Warning): Warning[] => (is ? [warning] : []);

/** Who has not agreed to be contact; loudly where that leaves nobody at home. */
export function unconfirmedWords(state: TripState): string[] {
  const silent = contacts(state).filter((p) => isUnconfirmed(state, p));
  if (silent.length === 0) return [];
  const said = silent.map((p) => saidWords(state, p));
  const waits = silent.find((p) => !hasRefused(state, p));
  const call = waits === undefined ? '' : ' Call them before you go.';
  const way =
    waits === undefined
      ? 'To ask somebody else: /roster add name: role:contact'
      : `To ask once more: /checkin contact answer:again for:${typedText(waits.name)}`;
  return reachable(state).length > 0
    ? [`Told of nothing: ${said.join(', ')}. ${way}`]
    : [`NOBODY AT HOME IS TOLD if you are late: ${said.join(', ')}.${call} ${way}`];
}

/** Ways by which somebody is told, or may still say yes. */
function waysLeft(state: TripState, person: Person) {
  const no = waysSaid(state, person, 'no');
  return waysTo(state, person).flatMap((w) => (no.some((n) => n.way === w.way) ? [] : [w.way]));
}

/** In a line for the board: that a party has nobody at home who has agreed to be told. */
export function nobodyAtHome(state: TripState): string | undefined {
  if (reachable(state).length > 0) return undefined;
  const silent = contacts(state).filter((p) => isUnconfirmed(state, p));
  return silent.length === 0
    ? 'NOBODY AT HOME is told if this party is late.'
    : `NOBODY AT HOME is told if this party is late: ${silent.map((p) => saidWords(state, p)).join(', ')}.`;
}

const saidWords = (state: TripState, person: Person) =>
  `${person.name} ${hasRefused(state, person) ? 'has said no' : 'has not confirmed'}`;

/** What is watched from now on, and who has been told. */
export function watchWords(state: TripState, nowMs: number): Line[] {
  const [next] = unmet(state);
  return [
    ...(next === undefined
      ? []
      : [['Next expected: ', expected(next), at(state, next.dueMs, nowMs), '.'] as Line]),
    ...toldWords(state),
  ];
}

/** Who hears of it at home. */
export function toldWords(state: TripState): string[] {
  const told = reachable(state);
  if (told.length === 0) return [];
  return [`${names(told)} ${told.length === 1 ? 'is' : 'are'} told, with a calendar file.`];
}
