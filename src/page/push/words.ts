import { waysOf } from '../../alarm/who.ts';
import type { Person } from '../../trip/people.ts';
import type { TripState } from '../../trip/state.ts';
import { WAY_WORDS, type Way } from '../../trip/ways.ts';

/** What the script of the page shows of itself, by the names that it calls them. */
export const SAYS: Readonly<Record<string, string>> = {
  apple:
    'On an iPhone or iPad: open the share menu, choose “Add to Home Screen”, open this page from there, and press the button then.',
  cannot: 'This browser takes no push messages. Try another one, or your phone.',
  denied:
    'This browser does not let us show messages. Allow notifications for this page in its settings, then press the button again.',
  wait: 'One moment.',
  failed:
    'That did not work, and nothing has changed. Look whether this device is online, then press the button again.',
};

/** What push messages are, before somebody turns them on. */
export const ABOUT = [
  'Push messages come to the screen of this device, even while the browser is closed, and only this browser can read them.',
  'They need a network, and the device must be on. Let them make a sound at night: alarms come then.',
];

/** For whoever reads the page without scripts: it stands there until ours has run. */
export const NO_SCRIPT =
  'To turn on push messages a browser needs JavaScript, and here it is off. All else on this page works without.';

/** To whoever was handed a link, where push messages were turned off since. */
export const NO_PUSH =
  'Messages to this device can not be turned on here any more. Give the party your e-mail address instead.';

/** `You are told by push, then e-mail; by phone only when it is time to call the rescue service.` */
export function toldBy(state: TripState, person: Person): string {
  const ways = waysOf(state, person);
  const first = ways.filter((way) => person.from?.[way] === undefined).map((w) => WAY_WORDS[w]);
  const kept = (step: 'alert' | 'distress') =>
    ways.filter((way: Way) => person.from?.[way] === step).map((w) => WAY_WORDS[w]);
  const parts = [
    ...(first.length === 0 ? [] : [`by ${first.join(', then ')}`]),
    ...(kept('alert').length === 0
      ? []
      : [`by ${kept('alert').join(' and ')} once they are overdue`]),
    ...(kept('distress').length === 0
      ? []
      : [`by ${kept('distress').join(' and ')} only when it is time to call the rescue service`]),
  ];
  if (parts.length === 0) return 'No message reaches you yet.';
  const all =
    ways.length > 1
      ? ' When it is time to call the rescue service, all of them are used at once.'
      : '';
  return `You are told ${parts.join('; ')}.${all}`;
}
