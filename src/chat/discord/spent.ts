import {
  type APIMessageTopLevelComponent,
  type ButtonInteraction,
  ComponentType,
} from 'discord.js';
import { decodePress } from './custom-id.ts';

/**
 * A message's components once one of its buttons has done what it is for: that button can't be pressed
 * again, and neither can what is about an entry that it took back.
 */
export function spentComponents(
  components: readonly APIMessageTopLevelComponent[],
  pressed: string,
): APIMessageTopLevelComponent[] {
  const press = decodePress(pressed)?.press;
  const struck = press?.path === 'pitch strike' ? press.options.entry : undefined;
  const isSpent = (id: string) =>
    id === pressed || (struck !== undefined && decodePress(id)?.press.options.entry === struck);
  return components.map((c) => walk(c, isSpent) as APIMessageTopLevelComponent);
}

function walk(node: unknown, isSpent: (id: string) => boolean): unknown {
  if (Array.isArray(node)) return node.map((n) => walk(n, isSpent));
  if (typeof node !== 'object' || node === null) return node;
  const fields = node as Record<string, unknown>;
  if (fields.type === ComponentType.Button) {
    const id = fields.custom_id;
    return typeof id === 'string' && isSpent(id) ? { ...fields, disabled: true } : fields;
  }
  return Object.fromEntries(Object.entries(fields).map(([k, v]) => [k, walk(v, isSpent)]));
}

/**
 * Whether the pressed button stands on an answer of ours. A board is made anew by itself, and the buttons of
 * an alarm are for several people.
 */
export function onAnswer({ message }: ButtonInteraction): boolean {
  return message.interactionMetadata !== null && message.interactionMetadata !== undefined;
}
