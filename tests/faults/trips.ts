/** Trips whose times keep falling due, and one that is posted to all the time. */
import type { SpawnedStand } from '../discord/spawned.ts';

export const GUILD = 'Lantern Gorge';
export const POSTS = 'posts';

interface Said {
  text: string;
}

export async function say(
  stand: SpawnedStand,
  user: string,
  channel: string,
  path: string,
  options: Record<string, string | number | boolean | { user: string }> = {},
): Promise<string> {
  const order = { do: 'slash', user, channel, path, options } as const;
  return ((await stand.order(order)) as Said).text;
}

/** A trip whose times run out in this channel: at one minute the contact is told, at two it is overdue. */
export async function openSilent(stand: SpawnedStand, channel: string): Promise<void> {
  const mara = (path: string, options = {}) => say(stand, 'Mara', channel, path, options);
  await mara('/trip open', { name: channel, zone: 'Europe/Oslo', emergency: '112' });
  await mara('/roster add', { name: 'Mara', user: { user: 'Mara' } });
  await mara('/roster add', { name: 'Dana', role: 'contact', user: { user: 'Dana' } });
  await say(stand, 'Dana', channel, '/checkin contact', { answer: 'yes' });
  await mara('/overdue delays', { told: 1, overdue: 2 });
  await mara('/trip depart');
}

/** A trip that takes words all the time. */
export async function openPosts(stand: SpawnedStand): Promise<void> {
  await say(stand, 'Mara', POSTS, '/trip open', { name: 'Posts', zone: 'Europe/Oslo' });
  await say(stand, 'Mara', POSTS, '/roster add', { name: 'Mara', user: { user: 'Mara' } });
  await say(stand, 'Mara', POSTS, '/trip depart');
}

/**
 * Plans a time that falls due within a minute, over and over: as soon as the alarm for one has been
 * seen, and sometimes only when it has gone up to the contact. What was answered is kept.
 */
export class SilentTrip {
  readonly channel: string;
  /** Times the bot has confirmed, as it wrote them: `14:32`. */
  readonly confirmed: string[] = [];
  readonly #stand: SpawnedStand;
  readonly #untilContact: boolean;
  #waiting = false;

  constructor(stand: SpawnedStand, channel: string, untilContact: boolean) {
    this.#stand = stand;
    this.channel = channel;
    this.#untilContact = untilContact;
  }

  /** Plans the next time unless the last one is still to be told. */
  async next(): Promise<void> {
    if (this.#waiting || !this.#toldAll()) return;
    this.#waiting = true;
    try {
      const text = await say(this.#stand, 'Mara', this.channel, '/checkin plan', { down: '+1m' });
      const time = /Everyone down (\d\d:\d\d)/u.exec(text)?.[1];
      if (time !== undefined && this.confirmed.at(-1) !== time) this.confirmed.push(time);
    } finally {
      this.#waiting = false;
    }
  }

  /** A new process was started: an answer that has not come will not come. */
  forget(): void {
    this.#waiting = false;
  }

  /** Messages of the first asking about a time, anywhere. */
  asked(time: string): number {
    return this.#messages((m) => m.includes('Nothing was heard.') && m.includes(`by ${time}`));
  }

  #toldAll(): boolean {
    const last = this.confirmed.at(-1);
    if (last === undefined) return true;
    if (!this.#untilContact) return this.asked(last) > 0;
    return this.#messages((m) => m.includes(`overdue on ${this.channel}`) && m.includes(last)) > 0;
  }

  #messages(fits: (content: string) => boolean): number {
    return this.#stand.entries.filter((e) => e.kind === 'message' && fits(e.content)).length;
  }
}
