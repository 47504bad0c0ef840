import { waysOf } from '../../alarm/who.ts';
import type { Key, Words } from '../../say/contact/words.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import type { Way } from '../../trip/ways.ts';

/** What the script of the page shows of itself, by the names that it calls them. */
export const SAYS = {
  apple: 'push.apple',
  cannot: 'push.cannot',
  denied: 'push.denied',
  wait: 'push.wait',
  failed: 'push.failed',
} as const satisfies Readonly<Record<string, Key>>;

/** `You are told by push, then e-mail. When it is time to call the rescue service, by phone as well.` */
export function toldBy(w: Words, state: TripState, person: Person): string {
  const ways = waysOf(state, person);
  if (ways.length === 0) return w.text('told.none');
  const name = (way: Way) => w.text(`way.${way}`);
  const first = ways
    .filter((way) => person.from?.[way] === undefined)
    .map(name)
    .reduce<string | undefined>(
      (said, next) => (said === undefined ? next : w.text('told.then', { first: said, next })),
      undefined,
    );
  const kept = (step: 'alert' | 'distress') =>
    ways.filter((way: Way) => person.from?.[way] === step).map(name);
  const [late, last] = [kept('alert'), kept('distress')];
  return [
    ...(first === undefined ? [] : [w.text('told.by', { ways: first })]),
    ...(late.length === 0 ? [] : [w.text('told.alert', { ways: w.list(late) })]),
    ...(last.length === 0 ? [] : [w.text('told.distress', { ways: w.list(last) })]),
    ...(ways.length > 1 ? [w.text('told.all')] : []),
  ].join(' ');
}
