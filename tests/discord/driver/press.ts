import {
  type APIButtonComponent,
  type APIModalInteractionResponseCallbackData,
  ButtonStyle,
  ComponentType,
} from 'discord.js';
import type { Core } from '../core.ts';
import { COMPONENT } from '../limits.ts';
import type {
  Resolved,
  StandChannel,
  StandInteraction,
  StandMessage,
  StandUser,
} from '../model.ts';
import { everyComponent } from '../schemas/components.ts';
import { cannot } from './client-refusal.ts';
import { sendInteraction } from './dispatch.ts';
import { fileValue, type GivenFile, userValue } from './options.ts';

/** Pressing a button and handing in a form, as the person's own app would. */

export function pressButton(
  core: Core,
  user: StandUser,
  message: StandMessage,
  label: string,
): StandInteraction {
  if (message.deleted) cannot('the message is gone');
  if (message.onlyFor !== undefined && message.onlyFor !== user.id) {
    cannot(`${user.name} does not see this message`);
  }
  const buttons = everyComponent(message.components).filter(
    (c) => c.type === ComponentType.Button,
  ) as unknown as APIButtonComponent[];
  const labels = buttons.map((b) => ('label' in b ? (b.label ?? '') : ''));
  const button = buttons[labels.indexOf(label)];
  if (button === undefined) return cannot(`no button [${label}]; there are: ${labels.join(', ')}`);
  if (button.disabled === true) cannot(`[${label}] is greyed out`);
  if (button.style === ButtonStyle.Link || button.style === ButtonStyle.Premium) {
    return cannot(`[${label}] leads elsewhere`);
  }
  return sendInteraction(core, {
    type: 'press',
    user,
    channel: channelOf(core, message),
    data: { component_type: ComponentType.Button, custom_id: button.custom_id, id: 1 },
    what: `[${label}]`,
    source: message,
  });
}

type Modal = APIModalInteractionResponseCallbackData;
type Field = { custom_id: string; label: string; required: boolean; value: string } & (
  | { kind: 'text'; min: number; max: number }
  | { kind: 'select'; values: string[] }
  | { kind: 'user' | 'file' }
);

/** Text, or a picked value; somebody; a file. */
export type GivenField = string | StandUser | GivenFile;

/** `given` by label or custom_id; a field left out keeps what the form had filled in. */
export function submitForm(
  core: Core,
  user: StandUser,
  opened: StandInteraction,
  given: Readonly<Record<string, GivenField>>,
): StandInteraction {
  const { modal } = opened;
  if (modal === undefined) return cannot('no form is open');
  if (opened.userId !== user.id) cannot(`the form is not open at ${user.name}'s`);
  const fields = fieldsOf(modal);
  for (const key of Object.keys(given)) {
    if (!fields.some((f) => f.label === key || f.custom_id === key)) {
      cannot(`no field ${key}; there are: ${fields.map((f) => f.label).join(', ')}`);
    }
  }
  const channel = core.world.channels.get(opened.channelId);
  if (channel === undefined) return cannot('the channel is gone');
  const resolved: Resolved = {};
  const components = fields.map((field, i) => {
    const value = given[field.label] ?? given[field.custom_id] ?? field.value;
    const text =
      typeof value === 'string' ? value : picked(core, channel, field.label, value, resolved);
    return submitted(modal, i, field, checked(field, text));
  });
  return sendInteraction(core, {
    type: 'modal',
    user,
    channel,
    data: {
      custom_id: modal.custom_id,
      components,
      ...(Object.keys(resolved).length === 0 ? {} : { resolved }),
    },
    what: modal.title,
    source: opened.source,
  });
}

function picked(
  core: Core,
  channel: StandChannel,
  name: string,
  value: StandUser | GivenFile,
  resolved: Resolved,
): string {
  return 'bytes' in value
    ? fileValue(core, channel, name, value, resolved)
    : userValue(core, channel, name, value, resolved);
}

function checked(field: Field, value: string): string {
  if (value === '') return field.required ? cannot(`${field.label} is needed`) : value;
  if (field.kind === 'select' && !field.values.includes(value)) {
    cannot(`${field.label} is one of ${field.values.join(', ')}`);
  }
  if (field.kind === 'text' && (value.length < field.min || value.length > field.max)) {
    cannot(`${field.label} has ${field.min} to ${field.max} characters`);
  }
  return value;
}

function fieldsOf(modal: Modal): Field[] {
  return modal.components.flatMap((outer): Field[] => {
    const inner =
      outer.type === ComponentType.Label
        ? outer.component
        : outer.type === ComponentType.ActionRow
          ? outer.components[0]
          : undefined;
    const label = outer.type === ComponentType.Label ? outer.label : undefined;
    if (inner?.type === ComponentType.TextInput) {
      return [
        {
          kind: 'text',
          custom_id: inner.custom_id,
          label: label ?? inner.label ?? inner.custom_id,
          required: inner.required ?? true,
          value: inner.value ?? '',
          min: inner.min_length ?? 0,
          max: inner.max_length ?? COMPONENT.inputMax,
        },
      ];
    }
    if (inner?.type === ComponentType.UserSelect || inner?.type === ComponentType.FileUpload) {
      return [
        {
          kind: inner.type === ComponentType.UserSelect ? 'user' : 'file',
          custom_id: inner.custom_id,
          label: label ?? inner.custom_id,
          required: inner.required ?? true,
          value: '',
        },
      ];
    }
    if (inner?.type !== ComponentType.StringSelect) return [];
    return [
      {
        kind: 'select',
        custom_id: inner.custom_id,
        label: label ?? inner.custom_id,
        required: inner.required ?? true,
        value: inner.options.find((o) => o.default === true)?.value ?? '',
        values: inner.options.map((o) => o.value),
      },
    ];
  });
}

const TYPES = {
  select: ComponentType.StringSelect,
  user: ComponentType.UserSelect,
  file: ComponentType.FileUpload,
} as const;

/** receiving-and-responding.mdx, Modal Submit Data: in a Label, or in a row as the form had it. */
function submitted(modal: Modal, i: number, field: Field, value: string): object {
  const id = 2 * i + 2;
  const inner =
    field.kind === 'text'
      ? { type: ComponentType.TextInput, id, custom_id: field.custom_id, value }
      : {
          type: TYPES[field.kind],
          id,
          custom_id: field.custom_id,
          values: value === '' ? [] : [value],
        };
  return modal.components[i]?.type === ComponentType.Label
    ? { type: ComponentType.Label, id: id - 1, component: inner }
    : { type: ComponentType.ActionRow, id: id - 1, components: [inner] };
}

function channelOf(core: Core, message: StandMessage): StandChannel {
  return core.world.channels.get(message.channelId) ?? cannot('the channel is gone');
}
