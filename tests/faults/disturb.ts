/** What is done to the bot's surroundings, and to the bot, between one start and the next kill. */
import fc from 'fast-check';
import type { Order } from '../discord/remote.ts';
import type { SpawnedStand } from '../discord/spawned.ts';
import type { BotProcess } from './bot.ts';
import type { MailServer, Mood } from './mail.ts';
import type { Between } from './proxy.ts';

export type Disturbance =
  | { do: 'nothing' }
  | { do: 'order'; order: Order; name: string }
  | { do: 'mail'; mood: Mood }
  | { do: 'cut' | 'dead start' | 'hanging start' | 'freeze' };

/** events/gateway.mdx, Gateway Close Event Codes: the last two can't be come back from. */
const CODES = [1001, 4000, 4001, 4007, 4008, 4009, 4004, 4014] as const;
/** Packets that no gateway sends: no JSON, unknown words, events of the wrong shape. */
const POISON = [
  'not JSON at all',
  '{"op":99,"d":null}',
  '{"op":0,"t":"INTERACTION_CREATE","s":null,"d":{"id":7,"type":"x"}}',
  '{"op":0,"t":"GUILD_CREATE","s":null,"d":{"id":{},"channels":"none"}}',
  '{"op":0,"t":"MESSAGE_CREATE","s":null,"d":[]}',
  '{"op":0,"t":"constructor","s":null,"d":{"__proto__":{"token":1}}}',
];
const POST = 'POST /channels/:channel/messages';

const order = (name: string, given: Order): Disturbance => ({ do: 'order', order: given, name });
const fault = (name: string, what: Extract<Order, { do: 'fault' }>['fault'], times = 4) =>
  order(name, { do: 'fault', route: POST, times, fault: what });

const all: readonly Disturbance[] = [
  { do: 'nothing' },
  { do: 'nothing' },
  ...CODES.map((code) => order(`close ${code}`, { do: 'close', code })),
  ...POISON.map((text) => order('poisoned packet', { do: 'raw', text })),
  order('gateway cut', { do: 'cut' }),
  order('asked to reconnect', { do: 'reconnect' }),
  fault('429 for ten seconds', { what: 'rate-limited', retryAfterS: 10, scope: 'user' }),
  fault('429 parked for an hour', { what: 'rate-limited', retryAfterS: 3600, scope: 'shared' }, 1),
  fault('502', { what: 'status', status: 502 }),
  fault('502 that took effect', { what: 'status', status: 502, accepted: true }),
  fault('a request that hangs', { what: 'hang' }, 2),
  fault('a reset after it took effect', { what: 'reset', accepted: true }),
  { do: 'cut' },
  { do: 'dead start' },
  { do: 'hanging start' },
  { do: 'freeze' },
  ...(['silent', 'late', 'busy', 'drops'] as const).map((mood) => ({ do: 'mail', mood }) as const),
];

export const disturbances = fc.constantFrom(...all);

/** What it is called in the figures. */
export const nameOf = (d: Disturbance): string =>
  d.do === 'order' ? d.name : d.do === 'mail' ? `mail ${d.mood}` : d.do;

export interface Surroundings {
  stand: SpawnedStand;
  proxy: Between;
  mail: MailServer;
}

/** Before the bot is started. */
export function beforeStart({ proxy, mail }: Surroundings, d: Disturbance): void {
  proxy.mood = d.do === 'dead start' ? 'refuses' : d.do === 'hanging start' ? 'hangs' : 'through';
  mail.mood = d.do === 'mail' ? d.mood : 'well';
}

/** Whether the bot can come up while this goes on. */
export const comesUp = (d: Disturbance): boolean =>
  d.do !== 'dead start' && d.do !== 'hanging start';

/** While it runs. */
export async function whileUp(
  { stand, proxy }: Surroundings,
  d: Disturbance,
  bot: BotProcess,
): Promise<void> {
  if (d.do === 'order') await stand.order(d.order);
  if (d.do === 'cut') proxy.cut();
  if (d.do === 'freeze') bot.child.kill('SIGSTOP');
}

/** All is well again from here on. Faults that have met nothing so far may still meet something. */
export function calm({ proxy, mail }: Surroundings): void {
  proxy.mood = 'through';
  mail.mood = 'well';
}
