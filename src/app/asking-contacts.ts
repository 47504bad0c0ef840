import { newWays, type WayTo } from '../alarm/consent.ts';
import type { Loaded } from '../record/records.ts';
import { Refusal } from '../say/refusal.ts';
import type { Line } from '../say/reply.ts';
import type { Draft } from '../trip/fact.ts';
import { nameOf, type TripState } from '../trip/state.ts';
import type { Consent } from '../trip/watch-state.ts';
import { BY_LINK, WAY_WORDS } from '../trip/ways.ts';
import type { App } from './app.ts';
import type { Call } from './command.ts';

/**
 * What has to be recorded with drafts that bring in new contacts, or new ways to one: each is asked first. Who
 * puts down their own account has agreed by it; who has said no to all of it is not asked.
 *
 * @throws Refusal when too many were asked today; then nothing is recorded
 */
export async function askDrafts(
  app: App,
  call: Call,
  loaded: Loaded,
  drafts: readonly Draft[],
): Promise<Draft[]> {
  const considered = app.records.consider(loaded, drafts, call.actor, call.atMs);
  // What the rules refuse is refused when it is recorded.
  if (!considered.ok) return [];
  const ways = newWays(loaded.state, considered.value.after.state);
  const asked: Draft[] = [];
  const toAsk: WayTo[] = [];
  for (const way of ways) {
    if (way.to === BY_LINK) {
      // Nothing is sent: the party hands the link over.
      asked.push({ kind: 'contact.asked', data: { ...way, unsent: true } });
    } else if (way.way === 'dm' && way.to === call.actor.id) {
      asked.push({ kind: 'contact.answered', data: { ...way, answer: 'yes' } });
    } else if (await app.invitations.saidNo(way)) {
      asked.push({ kind: 'contact.answered', data: { ...way, answer: 'no' } });
    } else {
      asked.push({ kind: 'contact.asked', data: way });
      toAsk.push(way);
    }
  }
  const wait = await app.invitations.mayAsk(call, toAsk);
  if (wait !== undefined) throw wait;
  return asked;
}

/** The same for contacts of a record that was brought along: what it says of their consent is not believed. */
export async function askAgain(app: App, call: Call, ways: readonly WayTo[]): Promise<Draft[]> {
  const drafts: Draft[] = [];
  for (const way of ways) {
    if (way.way === 'push' && way.to !== BY_LINK) {
      // A browser that said yes to another trip, or to another installation, said it to none of this.
      drafts.push({ kind: 'contact.lost', data: { ...way, why: 'of another record' } });
      continue;
    }
    if (way.to === BY_LINK) {
      drafts.push({ kind: 'contact.asked', data: { ...way, unsent: true } });
      continue;
    }
    if (await app.invitations.saidNo(way)) {
      drafts.push({ kind: 'contact.answered', data: { ...way, answer: 'no' } });
      continue;
    }
    const wait = await app.invitations.mayAsk(call, [way]);
    const unsent = wait === undefined ? {} : ({ unsent: true } as const);
    drafts.push({ kind: 'contact.asked', data: { ...way, ...unsent } });
  }
  return drafts;
}

/** What came of the asking, to whoever added them. Says no address. */
export function askedWords(app: App, before: TripState, after: TripState): Line[] {
  const fresh = after.watch.consents.filter((c) => !before.watch.consents.includes(c));
  const ways = (person: string, said: Consent['said']) =>
    fresh
      .filter((c) => c.person === person && c.said === said)
      .map(({ way }) => WAY_WORDS[way])
      .join(' and ');
  return [...new Set(fresh.map((c) => c.person))].flatMap((person): Line[] => {
    const name = nameOf(after, person);
    const [asked, no] = [ways(person, 'asked'), ways(person, 'no')];
    const link = fresh.find((c) => c.person === person && c.to === BY_LINK);
    return [
      ...(link === undefined ? [] : handOver(app, after, link)),
      ...(asked === ''
        ? []
        : [`${name} is asked by ${asked}; told of alarms only once they say yes.`]),
      ...(no === ''
        ? []
        : [
            `${name} wants no messages by ${no} and is not asked. If that has changed, they say yes where they said no.`,
          ]),
    ];
  });
}

/** Whoever is to have push messages or ntfy alone is asked by a link, which nobody but the party can bring them. */
function handOver(app: App, state: TripState, way: WayTo): Line[] {
  const url = app.pages?.asked(state.id, app.invitations.token(state.id, way));
  if (url === undefined) return [];
  const name = nameOf(state, way.person);
  return [
    ['Send this link to ', name, ' yourself, and to nobody else: ', { code: url }],
    way.way === 'ntfy'
      ? `On it ${name} names the ntfy topic of their phone, and says yes by the message that comes there; they are told of alarms only then.`
      : `On it ${name} says yes and turns push messages on; they are told of alarms only then.`,
  ];
}

/** For whoever meant a contact who can't be asked any more. */
export function nothingToAnswer(name: string): Refusal {
  return new Refusal('not-a-contact', [
    `${name} was not asked to be contact here.`,
    'To ask somebody: /roster add name: role:contact',
  ]);
}
