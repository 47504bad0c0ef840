import { names } from '../alarm/who.ts';
import { personOf } from '../record/membership.ts';
import { Refusal } from '../say/refusal.ts';
import type { Button } from '../say/reply.ts';
import { onTheWall } from '../trip/conditions.ts';
import type { Draft } from '../trip/fact.ts';
import { isSplit, type Part, partsOf } from '../trip/parts.ts';
import { nameOf, type TripState } from '../trip/state.ts';
import type { Call } from './command.ts';
import { personMeant, suggestClimbers } from './who.ts';

/** Whom a post speaks of, in a party that may be in parts. */
export const partOptions = {
  who: {
    type: 'string',
    description: 'Of whom, when the party is in parts: Jonas, or "Jonas, Ines"; all for everyone',
    maxLength: 200,
    suggest: suggestClimbers,
  },
  /** They are on their own since: asked before. */
  apart: { type: 'boolean', description: 'Asked before', hidden: true },
} as const;

/** What was typed of `partOptions`. */
export interface PartArgs {
  who: string | undefined;
  apart: boolean | undefined;
}

/** Whom a post speaks of. */
export interface Spoken {
  /** Ids; left out, the party. */
  who?: string[];
  /** To be recorded before the post: that they are on their own. */
  drafts: Draft[];
}

/**
 * Whom a post speaks of. In a party in parts a climber speaks of their own part, and whoever relays it
 * has to say. Naming some of those who are together means that they parted; that is asked first.
 *
 * @param atMs when it was, by the post
 * @param again the same post with other people, as a button
 * @throws Refusal that asks
 */
export function spokenIn(
  state: TripState,
  call: Call,
  { who, apart }: PartArgs,
  atMs: number,
  again: (label: string, args: { who?: string; apart?: true }) => Button,
): Spoken {
  const parts = partsOf(state);
  if (who === undefined) return unnamed(state, call, parts, again);
  if (/^(all|everyone|everybody)$/iu.test(who.trim())) {
    return isSplit(state) ? { who: parts.flatMap((p) => p.who), drafts: [] } : { drafts: [] };
  }
  const ids = namedIds(state, who);
  const cut = parts.find((p) => {
    const inside = p.who.filter((id) => ids.includes(id)).length;
    return inside > 0 && inside < p.who.length;
  });
  if (cut === undefined) {
    return ids.length === onTheWall(state).length && !isSplit(state)
      ? { drafts: [] }
      : { who: ids, drafts: [] };
  }
  if (apart === true) {
    return { who: ids, drafts: [{ kind: 'party.split', data: { who: ids }, atMs }] };
  }
  throw askApart(state, ids, cut, again);
}

function unnamed(
  state: TripState,
  call: Call,
  parts: readonly Part[],
  again: (label: string, args: { who?: string }) => Button,
): Spoken {
  if (!isSplit(state)) return { drafts: [] };
  const author = personOf(state, call.actor.id)?.id;
  const own = parts.find((p) => author !== undefined && p.who.includes(author));
  if (own !== undefined) return { who: [...own.who], drafts: [] };
  throw new Refusal(
    'which-part',
    [
      `The party is in parts: ${parts.map((p) => partNames(state, p.who)).join(' · ')}.`,
      'Of whom is it? Nothing is noted yet.',
    ],
    [
      ...parts.slice(0, 3).map((p) => again(partNames(state, p.who), { who: typed(p.who) })),
      again('All of them', { who: 'all' }),
    ],
  );
}

function askApart(
  state: TripState,
  ids: readonly string[],
  { who }: Part,
  again: (label: string, args: { who?: string; apart?: true }) => Button,
): Refusal {
  const others = who.filter((id) => !ids.includes(id));
  const mine = partNames(state, ids);
  return new Refusal(
    'which-part',
    [
      `As last told ${mine} ${ids.length === 1 ? 'is' : 'are'} with ${partNames(state, others)}. Have they parted?`,
      'Then each part is waited for on its own. Nothing is noted yet.',
    ],
    [
      again('Yes, they have parted', { who: typed(ids), apart: true }),
      again('No, all are together', {}),
    ],
  );
}

/** Ids of the people typed: `Jonas, Ines`. Throws a Refusal for somebody who isn't up there. */
export function namedIds(state: TripState, typedNames: string): string[] {
  const up = onTheWall(state);
  const isOne = up.some((p) => p.name.toLowerCase() === typedNames.trim().toLowerCase());
  // A name may have a blank in it; where nobody is called so, blanks stand between names.
  const between = isOne ? /,/u : /[,&+]|\band\b/u.test(typedNames) ? /,|\band\b|&|\+/u : /\s+/u;
  const names = typedNames.split(between).map((name) => name.trim());
  const ids = names.flatMap((name) => (name === '' ? [] : [personMeant(state, name, up).id]));
  const unique = [...new Set(ids)];
  if (unique.length > 0) return unique;
  throw new Refusal('no-such-person', 'Name who is meant: who:Jonas, or who:"Jonas, Ines".');
}

/** `Mara and Ines`, by their ids. */
export function partNames(state: TripState, who: readonly string[]): string {
  return names(who.map((id) => ({ name: nameOf(state, id) })));
}

/** As an option takes it, short enough for a button. */
function typed(who: readonly string[]): string {
  return who.join(',');
}
