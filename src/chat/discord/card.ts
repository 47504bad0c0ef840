import {
  type APIComponentInContainer,
  type APIContainerComponent,
  ComponentType,
  MessageFlags,
} from 'discord.js';
import type { CardTone, FileOut } from '../../say/reply.ts';
import type { Rendered } from './render.ts';

/**
 * A message that is components only: its words, then its pictures and files, then its buttons, in one frame
 * (components/reference.mdx, Container). The words say what the colour says.
 *
 * Not for alarms: the platform's push notifications show nothing of such a message
 * (discord/discord-api-docs issue 7854), and an alarm must be read on a lock screen.
 */
export function cardOf(message: Rendered, tone: CardTone): APIContainerComponent {
  const colour = COLOURS[tone];
  return {
    type: ComponentType.Container,
    ...(colour === undefined ? {} : { accent_color: colour }),
    components: [
      { type: ComponentType.TextDisplay, content: message.content },
      ...pictures(message.files.filter(isPicture)),
      ...message.files.filter((file) => !isPicture(file)).map(attached),
      ...message.rows,
    ],
  };
}

/** Set once, a message keeps it; an edit of a message that hasn't got it may set it. */
export const CARD = MessageFlags.IsComponentsV2;

/** Okabe and Ito's colours, told apart by the colour-blind too: orange and vermilion. */
const COLOURS: Readonly<Record<CardTone, number | undefined>> = {
  calm: undefined,
  heed: 0xe69f00,
  alarm: 0xd55e00,
};

const isPicture = ({ mime }: FileOut) => mime.startsWith('image/');
const addressOf = ({ name }: FileOut) => `attachment://${name}`;

function pictures(files: readonly FileOut[]): APIComponentInContainer[] {
  if (files.length === 0) return [];
  const items = files.map((file) => ({
    media: { url: addressOf(file) },
    ...(file.alt === undefined ? {} : { description: file.alt }),
  }));
  return [{ type: ComponentType.MediaGallery, items }];
}

function attached(file: FileOut): APIComponentInContainer {
  return { type: ComponentType.File, file: { url: addressOf(file) } };
}
