import type { ModalData, ModalSubmitInteraction } from 'discord.js';
import type { App } from '../../app/app.ts';
import { findSub, type RawArgs, type RawValue } from '../../app/command.ts';
import { Refusal } from '../../say/refusal.ts';
import { typedValue } from '../typed-value.ts';
import { discordFile } from './attachment.ts';
import { person } from './call.ts';
import type { Pressable } from './custom-id.ts';
import { optionOf } from './form.ts';

/** The press's own options and what was given in the form, each as its option wants it. */
export function filledIn(
  app: App,
  press: Pressable,
  interaction: ModalSubmitInteraction,
): RawArgs | Refusal {
  const { path, options } = press.press;
  const defs = findSub(app.commands, path)?.options ?? {};
  const raw: Record<string, RawValue> = { ...options };
  for (const [id, field] of interaction.fields.fields) {
    const name = optionOf(id);
    const def = defs[name];
    // What was typed goes before what was picked beside it.
    if (def === undefined || (id !== name && raw[name] !== options[name])) continue;
    const picked = pickedIn(app, field, interaction);
    if (picked !== undefined) raw[name] = picked;
    const text = textIn(field);
    if (picked !== undefined || text === '') continue;
    const typed = typedValue(def, text);
    if (!typed.ok) {
      return new Refusal(
        'unreadable-options',
        `${text} could not be read: ${typed.problem} is needed.`,
      );
    }
    raw[name] = typed.value;
  }
  return raw;
}

function textIn(field: ModalData): string {
  if ('value' in field) return String(field.value ?? '').trim();
  return 'values' in field ? (field.values[0] ?? '').trim() : '';
}

/** A file or somebody's account. */
function pickedIn(
  app: App,
  field: ModalData,
  { client }: ModalSubmitInteraction,
): RawValue | undefined {
  const { attachments, users, members } = field as Partial<{
    attachments: ReadonlyMap<string, { name: string; size: number; url: string }>;
    users: ReadonlyMap<string, { id: string; displayName: string }>;
    members: ReadonlyMap<string, object>;
  }>;
  const [file] = attachments?.values() ?? [];
  if (file !== undefined) return discordFile(file, app.clock, client.rest.options.api);
  const [user] = users?.values() ?? [];
  return user === undefined ? undefined : person(user, members?.get(user.id) ?? null);
}
