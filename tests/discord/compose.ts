import { ComponentType, MessageFlags, PermissionFlagsBits } from 'discord.js';
import type { Core } from './core.ts';
import { formError, refusal } from './errors.ts';
import { MESSAGE } from './limits.ts';
import type { StandChannel, StandFile, StandMessage } from './model.ts';
import { has } from './permissions.ts';
import { type AllowedMentions, pingsOf } from './pings.ts';
import type { UploadedFile } from './rest/request.ts';
import { everyComponent } from './schemas/components.ts';
import type { MessageContent } from './schemas/message.ts';

/** Making and changing messages, whichever request asked for it. */

export interface Circumstances {
  authorId: string;
  /** What is parsed for mentions when the request says nothing about it. */
  defaults: AllowedMentions;
  nonce?: string | number | undefined;
  onlyFor?: string | undefined;
  interactionId?: string | undefined;
  repliesTo?: string | undefined;
  /** A deferred answer: shown as being worked on, empty. */
  loading?: boolean;
}

export function addMessage(
  core: Core,
  channel: StandChannel,
  body: MessageContent,
  uploads: readonly UploadedFile[],
  how: Circumstances,
): StandMessage {
  const files = keptFiles(core, channel, body.attachments, uploads, []);
  const flags = (body.flags ?? 0) & ~MessageFlags.Ephemeral;
  const content = wordsOf(body, flags, files);
  const pings = pingsOf(
    content,
    body.allowed_mentions ?? how.defaults,
    flags,
    has(channel, PermissionFlagsBits.MentionEveryone),
  );
  const message: StandMessage = {
    id: core.world.nextId(),
    channelId: channel.id,
    authorId: how.authorId,
    content,
    embeds: (body.embeds ?? []) as StandMessage['embeds'],
    components: (body.components ?? []) as StandMessage['components'],
    files,
    flags,
    tts: body.tts ?? false,
    createdAtMs: core.clock.wallMs(),
    loading: how.loading ?? false,
    deleted: false,
    pings: { ...pings, users: pings.users.filter((id) => core.world.users.has(id)) },
    texts: [content],
    ...(how.nonce === undefined ? {} : { nonce: how.nonce }),
    ...(how.onlyFor === undefined ? {} : { onlyFor: how.onlyFor }),
    ...(how.interactionId === undefined ? {} : { interactionId: how.interactionId }),
    ...(how.repliesTo === undefined ? {} : { repliesTo: how.repliesTo }),
  };
  if (!message.loading) refuseEmpty(message);
  core.world.messages.set(message.id, message);
  channel.messages.push(message);
  // topics/threads.mdx: sending a message takes a thread out of the archive.
  if (channel.thread !== undefined) channel.thread.archived = false;
  if (how.nonce !== undefined) core.world.byNonce.set(`${channel.id} ${how.nonce}`, message);
  core.journal.add({
    kind: 'message',
    ...pick(message, ['id', 'channelId', 'authorId', 'content', 'pings', 'loading']),
    ...pick(message, ['nonce', 'onlyFor', 'interactionId']),
    files: files.map((f) => f.attachment.filename),
    buttons: buttonLabels(message),
  });
  return message;
}

/**
 * Fields left out stay as they are: resources/message.mdx, Edit Message. Edits ping nobody, and
 * filling in a deferred answer is an edit (discord/discord-api-docs issue 5497).
 */
export function editMessage(
  core: Core,
  message: StandMessage,
  body: MessageContent,
  uploads: readonly UploadedFile[],
): void {
  const channel = core.world.channel(message.channelId);
  const files = keptFiles(core, channel, body.attachments, uploads, message.files);
  // Once components only, for ever: components/reference.mdx, IS_COMPONENTS_V2.
  const flags = message.flags | ((body.flags ?? 0) & MessageFlags.IsComponentsV2);
  const content = isCard(flags)
    ? wordsOf({ ...body, components: body.components ?? asSent(message.components) }, flags, files)
    : wordsOf(
        { ...body, content: body.content === undefined ? message.content : body.content },
        flags,
        files,
      );
  const after: StandMessage = {
    ...message,
    files,
    flags,
    content,
    loading: false,
    ...(body.embeds === undefined ? {} : { embeds: (body.embeds ?? []) as StandMessage['embeds'] }),
    ...(body.components === undefined
      ? {}
      : { components: (body.components ?? []) as StandMessage['components'] }),
  };
  refuseEmpty(after);
  const filled = message.loading;
  Object.assign(message, after);
  if (filled) message.texts.length = 0;
  else message.editedAtMs = core.clock.wallMs();
  message.texts.push(message.content);
  core.journal.add({
    kind: 'edit',
    ...pick(message, ['id', 'channelId', 'content']),
    buttons: buttonLabels(message),
  });
}

export function deleteMessage(core: Core, message: StandMessage): void {
  message.deleted = true;
  const channel = core.world.channels.get(message.channelId);
  if (channel !== undefined) channel.messages = channel.messages.filter((m) => m !== message);
  core.journal.add({ kind: 'delete', id: message.id, channelId: message.channelId });
}

/** Labels of all buttons, row after row. */
export function buttonLabels(message: StandMessage): string[] {
  return everyComponent(message.components).flatMap((c) =>
    c.type === ComponentType.Button && typeof c.label === 'string' ? [c.label] : [],
  );
}

const asSent = (components: StandMessage['components']) =>
  components as unknown as NonNullable<MessageContent['components']>;

const isCard = (flags: number) => (flags & MessageFlags.IsComponentsV2) !== 0;

/**
 * What a message says. One of components only says it in them; it takes no content and no embeds, and
 * shows the files that its components name. Any other takes rows of buttons only.
 */
function wordsOf(body: MessageContent, flags: number, files: readonly StandFile[]): string {
  const components = body.components ?? [];
  if (!isCard(flags)) {
    if (components.every((c) => c.type === ComponentType.ActionRow)) return body.content ?? '';
    throw formError(
      'components',
      'UNION_TYPE_CHOICES',
      'Only action rows without IS_COMPONENTS_V2.',
    );
  }
  if ((body.content ?? '') !== '' || (body.embeds ?? []).length > 0) {
    throw formError(
      'content',
      'MESSAGE_CANNOT_USE_LEGACY_FIELDS_WITH_COMPONENTS_V2',
      'The content and embeds fields cannot be used with IS_COMPONENTS_V2.',
    );
  }
  const all = everyComponent(components);
  const named = [...JSON.stringify(components).matchAll(/"attachment:\/\/([^"]+)"/gu)];
  for (const [, name] of named) {
    if (files.some((f) => f.attachment.filename === name)) continue;
    throw formError('components', 'ATTACHMENT_NOT_FOUND', `There is no file ${name}.`);
  }
  return all
    .flatMap((c) => (c.type === ComponentType.TextDisplay ? [c.content ?? ''] : []))
    .join('\n');
}

function refuseEmpty(message: StandMessage): void {
  const shown = message.embeds.length + message.components.length + message.files.length;
  if (message.content.trim() === '' && shown === 0) throw refusal(50006);
}

/**
 * reference.mdx, Editing Message Attachments: with an `attachments` list, what isn't on it goes;
 * without one, everything stays and the new files are added. An id is either that of a file already
 * there or the `n` of an upload.
 */
function keptFiles(
  core: Core,
  channel: StandChannel,
  list: MessageContent['attachments'],
  uploads: readonly UploadedFile[],
  before: readonly StandFile[],
): StandFile[] {
  const place = `${core.origin}/cdn/attachments/${channel.id}`;
  const stored = (upload: UploadedFile, alt?: string | null) =>
    storeFile(core, place, upload.name, upload.type, upload.bytes, alt ?? undefined);
  const after =
    list === undefined || list === null
      ? [...before, ...uploads.map((upload) => stored(upload))]
      : list.map((entry, i) => {
          const kept = before.find((f) => f.attachment.id === entry.id);
          const upload = uploads.find((u) => u.index === entry.id);
          if (kept !== undefined) return kept;
          if (upload !== undefined) return stored(upload, entry.description);
          throw formError(`attachments.${i}.id`, 'ATTACHMENT_NOT_FOUND', 'No such file is here.');
        });
  const used = new Set((list ?? []).map((entry) => entry.id));
  if (list !== undefined && list !== null && uploads.some((u) => !used.has(u.index))) {
    throw formError('attachments', 'ATTACHMENT_NOT_LISTED', 'An uploaded file is not listed.');
  }
  if (after.length > MESSAGE.filesMax) throw refusal(30015);
  return after;
}

/** Keeps the bytes and gives them an address from which they can be fetched. */
export function storeFile(
  core: Core,
  place: string,
  name: string,
  type: string,
  bytes: Uint8Array,
  alt?: string,
): StandFile {
  if (bytes.length > core.settings.fileBytesMax) throw refusal(40005);
  const id = core.world.nextId();
  const url = `${place}/${id}/${encodeURIComponent(name)}`;
  const file: StandFile = {
    bytes,
    attachment: {
      id,
      filename: name,
      size: bytes.length,
      url,
      proxy_url: url,
      content_type: type,
      ...(alt === undefined ? {} : { description: alt }),
    },
  };
  core.world.files.set(id, file);
  return file;
}

function pick<T extends object, K extends keyof T>(from: T, keys: readonly K[]): Pick<T, K> {
  return Object.fromEntries(
    keys.filter((k) => from[k] !== undefined).map((k) => [k, from[k]]),
  ) as Pick<T, K>;
}
