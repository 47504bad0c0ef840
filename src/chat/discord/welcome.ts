import { ChannelType, type Guild, type GuildBasedChannel, PermissionFlagsBits } from 'discord.js';
import type { Reply } from '../../say/reply.ts';
import type { Store } from '../../store/port.ts';
import type { Outgoing } from './outgoing.ts';

/** What a server reads when the bot has just been added: what it is for, and the first step as a button. */
export const WELCOME: Reply = {
  lines: [
    'tagline keeps a climbing party’s trip on a long wall: who leads next, when they will be up, and who is told when they are late.',
    'A trip lives in one channel, the one where the party and the ground crew talk. Open it here, or there with /trip open.',
    'Then it asks for the topo, the climbers, who waits at home, and a rehearsal of the alarm.',
    'It calls nobody and is no rescue service. The land manager’s rules and the rescuers’ word go first.',
  ],
  buttons: [
    {
      label: 'Open a trip here',
      tone: 'main',
      press: { path: 'trip open', options: {} },
      ask: {
        title: 'Open a trip here',
        fields: [
          { name: 'name', label: 'Name of the trip' },
          {
            name: 'place',
            label: 'Where it is: coordinates from a map',
            placeholder: '62.10, 6.90',
          },
          { name: 'zone', label: 'Without those, its time zone: a city', placeholder: 'Oslo' },
          { name: 'emergency', label: 'The emergency number there', placeholder: '112' },
        ],
      },
    },
    { label: 'What comes next', press: { path: 'help', options: {} } },
  ],
};

/** Where it may be said: the server's own channel for such things, else the first in which we may write. */
function placeOf(guild: Guild): string | undefined {
  const { me } = guild.members;
  const needed = [PermissionFlagsBits.ViewChannel, PermissionFlagsBits.SendMessages];
  const may = (c: GuildBasedChannel | null): boolean =>
    c?.type === ChannelType.GuildText && me !== null && c.permissionsFor(me).has(needed);
  if (may(guild.systemChannel)) return guild.systemChannelId ?? undefined;
  const channels = [...guild.channels.cache.values()].filter(may);
  return channels.sort((a, b) => Number(BigInt(a.id) - BigInt(b.id)))[0]?.id;
}

/** Says it once to a server, however often the bot comes and goes. */
export async function welcome(
  guild: Guild,
  {
    store,
    outgoing,
    nowMs,
  }: { store: Pick<Store, 'getFact' | 'setFact'>; outgoing: Outgoing; nowMs: number },
): Promise<void> {
  const fact = `discord.welcomed.${guild.id}`;
  const channel = placeOf(guild);
  if (channel === undefined || (await store.getFact(fact)) !== undefined) return;
  const nonce = `w-${guild.id}`;
  const sent = await outgoing.toChannel(channel, { reply: WELCOME, nonce, nowMs, silent: true });
  if (sent.ok || sent.error.retry === 'never') await store.setFact(fact, String(nowMs));
}
