import type { App, Core } from '../../src/app/app.ts';
import { NO_PICTURES } from '../../src/app/pictures.ts';
import { buildBot, buildCore, type Ports, type Surroundings } from '../../src/bot.ts';
import { DiscordChat, type DiscordSettings } from '../../src/chat/discord/client.ts';
import { createOutgoing, type Outgoing } from '../../src/chat/discord/outgoing.ts';
import { discordRest } from '../../src/chat/discord/rest.ts';
import { Surface } from '../../src/chat/discord/surface.ts';
import { readingHere } from '../../src/system/reading/here.ts';
import { FORECASTS } from './forecasts.ts';

/** A bot with nothing around it. */
export const ALONE: Surroundings = {
  keepDays: 90,
  reading: readingHere,
  withoutMail: () => undefined,
  deafSinceMs: () => undefined,
  board: undefined,
  pages: undefined,
  secret: new Uint8Array(32),
};

export function bareBot(ports: Ports, around: Partial<Surroundings> = {}): App {
  return buildBot(bareCore(ports), { ...ALONE, ...around });
}

export function bareCore(ports: Ports): Core {
  return buildCore(ports, NO_PICTURES, FORECASTS);
}

export interface RunningChat {
  chat: DiscordChat;
  outgoing: Outgoing;
  health: DiscordChat['health'];
  close(): Promise<void>;
}

/** A bot answering on Discord, or on what stands in for it. */
export async function startDiscord(
  settings: Omit<DiscordSettings, 'outgoing' | 'surface'>,
): Promise<RunningChat> {
  const surface = new Surface(settings.app.store, settings.app.log);
  const outgoing = createOutgoing(discordRest(settings), surface);
  const chat = new DiscordChat({ ...settings, outgoing, surface });
  await chat.connect();
  return { chat, outgoing, health: () => chat.health(), close: () => chat.close() };
}
