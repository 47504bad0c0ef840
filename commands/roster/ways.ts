import type { App } from '../../src/app/app.ts';
import type { Suggest } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Person, PersonFields } from '../../src/trip/people.ts';
import { dialled, type Way, type WaysFrom } from '../../src/trip/ways.ts';

/** Names of ways as people type them. */
const NAMES: Readonly<Record<string, Way>> = {
  dm: 'dm',
  message: 'dm',
  'direct message': 'dm',
  chat: 'dm',
  email: 'email',
  'e-mail': 'email',
  mail: 'email',
  push: 'push',
  ntfy: 'ntfy',
  phone: 'phone',
  call: 'phone',
  sms: 'phone',
  text: 'phone',
};
const STEPS: Readonly<Record<string, 'alert' | 'distress'>> = {
  overdue: 'alert',
  alert: 'alert',
  distress: 'distress',
};

/** What is offered while typing. */
const OFFERED = [
  'message, e-mail',
  'e-mail, message',
  'e-mail',
  'push',
  'push, e-mail',
  'push, e-mail, phone at distress',
  'e-mail, phone from overdue',
  'ntfy',
  'phone',
];

/** `push, e-mail, phone at distress` → the ways in this order, and from which step each is used. */
export function parseWays(typed: string): { ways?: Way[]; from?: WaysFrom } | { problem: string } {
  const ways: Way[] = [];
  const from: WaysFrom = {};
  for (const part of typed.split(/[,+;]|\bthen\b/u)) {
    const words = part
      .trim()
      .toLowerCase()
      .replace(/\s+/gu, ' ')
      .replace(/ only$/u, '');
    const [name = '', step] = words.split(/ (?:at|from) /u);
    const way = Object.hasOwn(NAMES, name) ? NAMES[name] : undefined;
    const when = step !== undefined && Object.hasOwn(STEPS, step) ? STEPS[step] : undefined;
    if (way === undefined || (step !== undefined && when === undefined) || ways.includes(way)) {
      return {
        problem: `ways: “${part.trim()}” can't be read. Write message, e-mail, push, ntfy or phone, each once, the first first; “at distress” or “from overdue” keeps one for later.`,
      };
    }
    ways.push(way);
    if (when !== undefined) from[way] = when;
  }
  return { ways, ...(Object.keys(from).length === 0 ? {} : { from }) };
}

export const suggestWays: Suggest = async (_call, typed) => {
  const start = typed.trim().toLowerCase();
  return OFFERED.filter((text) => text.startsWith(start)).map((text) => ({
    name: text,
    value: text,
  }));
};

/** Throws a Refusal for ways that this installation doesn't have, or that lack what they need. */
export function mustHaveWays(
  app: Pick<App, 'phones' | 'push' | 'ntfy' | 'pages'>,
  { name, ways = [], phone, from }: Pick<PersonFields | Person, 'name' | 'ways' | 'phone' | 'from'>,
): void {
  if (ways.includes('phone') && !app.phones) {
    throw new Refusal('no-such-choice', [
      'No phone can be rung or texted from here.',
      'Whoever runs tagline can turn it on by setting TAGLINE_WEBHOOK_URL.',
    ]);
  }
  if (ways.includes('phone') && dialled(phone) === undefined) {
    throw new Refusal('needs-value', [
      `To be told by phone ${name} needs a number with its country code: phone:"+47 900 00 000".`,
    ]);
  }
  if (ways.includes('push') && app.push === undefined) {
    throw new Refusal('no-such-choice', [
      'There are no push messages here: they come from each contact’s own page.',
      'Whoever runs tagline can turn the page on by setting its https address, TAGLINE_PAGE_URL.',
    ]);
  }
  if (ways.includes('ntfy') && (app.ntfy === undefined || app.pages === undefined)) {
    throw new Refusal('no-such-choice', [
      'There are no messages by ntfy here: a contact names their topic on their own page.',
      'Whoever runs tagline can turn it on by setting TAGLINE_NTFY_SERVERS and the page’s address, TAGLINE_PAGE_URL.',
    ]);
  }
  if (ways.length > 0 && ways.every((way) => from?.[way] !== undefined)) {
    throw new Refusal('options-clash', [
      `Every way of ${name} would wait for a later step, so the first would never reach them.`,
      'Keep one for all: ways:"e-mail, phone at distress".',
    ]);
  }
}
