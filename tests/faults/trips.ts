/** Trips whose times keep falling due, and one that is posted to all the time. */
import type { SpawnedStand } from '../discord/spawned.ts';
import type { MailServer } from './mail.ts';

export const GUILD = 'Lantern Gorge';
export const POSTS = 'posts';

interface Said {
  text: string;
}

/** Accounts of the people of a channel: one person may ask only so many to be contact, and be asked. */
export const accounts = (channel: string) => [`Mara ${channel}`, `Dana ${channel}`] as const;

/** Mara or Dana of that channel says it. */
export async function say(
  stand: SpawnedStand,
  who: 'Mara' | 'Dana',
  channel: string,
  path: string,
  options: Record<string, string | number | boolean | { user: string }> = {},
): Promise<string> {
  const [mara, dana] = accounts(channel);
  const user = who === 'Mara' ? mara : dana;
  const order = { do: 'slash', user, channel, path, options } as const;
  return ((await stand.order(order)) as Said).text;
}

export interface Home {
  stand: SpawnedStand;
  mail: MailServer;
}

/**
 * A trip whose times run out in this channel: at one minute the contact is told, at two it is overdue. Dana
 * has agreed to be contact; with `byMail` she has no account here, and mail is the only way to her.
 */
export async function openSilent(
  { stand, mail }: Home,
  channel: string,
  byMail = false,
): Promise<void> {
  const mara = (path: string, options = {}) => say(stand, 'Mara', channel, path, options);
  await mara('/trip open', { name: channel, zone: 'Europe/Oslo', emergency: '112' });
  const [maras, danas] = accounts(channel);
  await mara('/roster add', { name: 'Mara', user: { user: maras } });
  const way = byMail ? { email: addressOf(channel) } : { user: { user: danas } };
  await mara('/roster add', { name: 'Dana', role: 'contact', ...way });
  await mara('/overdue delays', { told: 1, overdue: 2 });
  const yes = byMail
    ? await mara('/checkin contact', {
        ...{ answer: 'yes', for: 'Dana', code: await codeIn(mail, addressOf(channel)) },
      })
    : await say(stand, 'Dana', channel, '/checkin contact', { answer: 'yes' });
  if (!yes.includes('is contact now')) throw new Error(`nobody at home in ${channel}: ${yes}`);
  await mara('/trip depart');
}

/** The code of the invitation that was mailed there. */
async function codeIn(mail: MailServer, address: string): Promise<string> {
  for (let n = 0; n < 600; n++) {
    const text = mail.arrived.find((m) => m.to === address)?.text;
    const code = /they type it in: (\S+)/u.exec(text ?? '')?.[1];
    if (code !== undefined) return code;
    await new Promise((go) => setTimeout(go, 100));
  }
  throw new Error(`no invitation came to ${address}`);
}

/** Where Dana of that trip gets her mail. */
export const addressOf = (channel: string) => `dana-${channel}@example.org`;

/** A trip that takes words all the time. */
export async function openPosts(stand: SpawnedStand, channel = POSTS): Promise<void> {
  const mara = (path: string, options = {}) => say(stand, 'Mara', channel, path, options);
  await mara('/trip open', { name: channel, zone: 'Europe/Oslo' });
  await mara('/roster add', { name: 'Mara', user: { user: accounts(channel)[0] } });
  await mara('/trip depart');
}

/**
 * Plans a time that falls due within a minute, over and over: as soon as the alarm for one has been
 * seen, and sometimes only when it has gone up to the contact. What was answered is kept.
 */
export class SilentTrip {
  readonly channel: string;
  /** Times the bot has confirmed, as it wrote them: `14:32`. */
  readonly confirmed: string[] = [];
  readonly byMail: boolean;
  /** When it was answered that everybody is down. */
  downMs: number | undefined;
  readonly #stand: SpawnedStand;
  readonly #mail: MailServer;
  readonly #untilContact: boolean;
  readonly #channelId: string | undefined;
  #waiting = false;

  constructor(at: Home & { channels: ReadonlyMap<string, string> }, channel: string, n: number) {
    this.#stand = at.stand;
    this.#mail = at.mail;
    this.channel = channel;
    this.#channelId = at.channels.get(this.channel);
    this.#untilContact = n % 2 === 1;
    this.byMail = n % 4 === 1;
  }

  /** Everyone is down: from here on nothing more may be told. */
  async down(): Promise<void> {
    // A time that is still to come is not asked about any more.
    if (!this.toldAll()) this.confirmed.pop();
    const text = await say(this.#stand, 'Mara', this.channel, '/trip down');
    if (!/^Everyone (?:is )?down/u.test(text)) throw new Error(`not down: ${text}`);
    this.downMs = Date.now();
  }

  /** What was told of an alarm later than `graceMs` after the end: what was on its way may land. */
  toldAfterEnd(graceMs: number): string[] {
    const fromMs = (this.downMs ?? Number.POSITIVE_INFINITY) + graceMs;
    return this.#heard()
      .filter(
        ({ text, atMs, channelId }) =>
          atMs > fromMs &&
          ALARM.test(text) &&
          (channelId === this.#channelId || text.includes(`on ${this.channel}.`)),
      )
      .map(({ text }) => text.slice(0, 120));
  }

  /** Plans the next time unless the last one is still to be told. */
  async next(): Promise<void> {
    if (this.#waiting || !this.toldAll()) return;
    this.#waiting = true;
    try {
      // While an alarm stands a second person would have to agree to another time.
      if (this.confirmed.length > 0) await say(this.#stand, 'Mara', this.channel, '/checkin ok');
      const text = await say(this.#stand, 'Mara', this.channel, '/checkin plan', { down: '+1m' });
      const time = /Everyone down (\d\d:\d\d)/u.exec(text)?.[1];
      // What is only asked names the time as well.
      const set = text.includes('Nothing heard: asked at once');
      if (set && time !== undefined && this.confirmed.at(-1) !== time) this.confirmed.push(time);
    } finally {
      this.#waiting = false;
    }
  }

  /** A new process was started: an answer that has not come will not come. */
  forget(): void {
    this.#waiting = false;
  }

  /**
   * Messages of an alarm about a time, in its channel or to its contact. After a while without a process only the
   * highest step is told, so the first asking need not be among them.
   */
  asked(time: string): number {
    const about = new RegExp(`by (?:\\w{3} )?${time}`, 'u');
    return this.#heard().filter(
      ({ text, channelId }) =>
        (channelId === this.#channelId || text.includes(`on ${this.channel}.`)) &&
        ALARM.test(text) &&
        about.test(text),
    ).length;
  }

  /** What was planned last has been told. */
  toldAll(): boolean {
    const last = this.confirmed.at(-1);
    if (last === undefined) return true;
    if (!this.#untilContact) return this.asked(last) > 0;
    return this.#heard().some(
      ({ text }) => text.includes(`overdue on ${this.channel}`) && text.includes(last),
    );
  }

  #heard(): { text: string; atMs: number; channelId?: string }[] {
    const shown = this.#stand.entries.flatMap((e) =>
      e.kind === 'message' ? [{ text: e.content, atMs: e.atMs, channelId: e.channelId }] : [],
    );
    return [...shown, ...this.#mail.arrived];
  }
}

/** Words of an alarm that stands. */
const ALARM = /overdue on|No word yet from|Still nothing heard|Nothing was heard\.|^Again:/mu;
