import { InteractionType, MessageFlags, InteractionResponseType as Response } from 'discord.js';
import type { z } from 'zod';
import { addMessage, editMessage } from '../compose.ts';
import type { Core } from '../core.ts';
import { formError, refusal } from '../errors.ts';
import { INTERACTION } from '../limits.ts';
import type { StandInteraction } from '../model.ts';
import { messageJson } from '../payloads.ts';
import { DEFAULT_ALLOWED } from '../pings.ts';
import { callbackBody, mayAnswer } from '../schemas/callback.ts';
import type { InteractionMessage } from '../schemas/message.ts';
import { parse } from './parse.ts';
import { type Handler, NO_CONTENT, ok, type Route, type UploadedFile } from './request.ts';

/** interactions/receiving-and-responding.mdx, Create Interaction Response. */

type Callback = z.infer<typeof callbackBody>;

const callback: Handler = (core, { params, json, files, query }) => {
  const interaction = core.world.interactions.get(params.interaction ?? '');
  if (interaction === undefined || interaction.token !== params.token) throw refusal(10062);
  if (interaction.ack !== undefined) throw refusal(40060);
  const waitedMs = core.clock.wallMs() - interaction.dispatchedAtMs;
  if (waitedMs > INTERACTION.firstAnswerMs) throw refusal(10062);
  const answer = parse(callbackBody, json);
  if (!mayAnswer(interaction, answer.type)) {
    throw formError('type', 'INTERACTION_CALLBACK_TYPE_INVALID', 'Not for this interaction.');
  }
  carryOut(core, interaction, answer, files);
  interaction.ack = { type: answer.type, atMs: core.clock.wallMs() };
  core.journal.add({ kind: 'ack', interactionId: interaction.id, type: answer.type });
  if (query.get('with_response') !== 'true') return NO_CONTENT;
  return ok(callbackResponse(core, interaction, answer.type));
};

function carryOut(
  core: Core,
  interaction: StandInteraction,
  answer: Callback,
  files: readonly UploadedFile[],
): void {
  switch (answer.type) {
    case Response.ChannelMessageWithSource:
      sayFor(core, interaction, answer.data, files, false);
      return;
    case Response.DeferredChannelMessageWithSource:
      sayFor(core, interaction, { flags: answer.data?.flags }, [], true);
      return;
    case Response.UpdateMessage:
      interaction.original = sourceOf(interaction);
      editMessage(core, interaction.original, answer.data, files);
      core.gateway.messageUpdated(interaction.original);
      // New buttons alone say nothing: the words are still to come.
      interaction.answered = answer.data.content !== undefined;
      return;
    case Response.DeferredMessageUpdate:
      interaction.original = sourceOf(interaction);
      return;
    case Response.ApplicationCommandAutocompleteResult:
      checkChoiceTypes(interaction, answer.data.choices);
      interaction.choices = answer.data.choices.map(({ name, value }) => ({ name, value }));
      interaction.answered = true;
      return;
    case Response.Modal:
      interaction.modal = answer.data as NonNullable<StandInteraction['modal']>;
      interaction.answered = true;
      return;
  }
}

function sourceOf(interaction: StandInteraction) {
  if (interaction.source === undefined) throw new Error('mayAnswer lets no update through here');
  return interaction.source;
}

/** The reply itself, or a follow-up. */
export function sayFor(
  core: Core,
  interaction: StandInteraction,
  body: InteractionMessage,
  files: readonly UploadedFile[],
  loading: boolean,
) {
  const channel = core.world.channel(interaction.channelId);
  const hidden = ((body.flags ?? 0) & MessageFlags.Ephemeral) !== 0;
  const message = addMessage(core, channel, body, files, {
    authorId: core.world.bot.id,
    defaults: DEFAULT_ALLOWED.interaction,
    interactionId: interaction.id,
    loading,
    ...(hidden ? { onlyFor: interaction.userId } : {}),
  });
  interaction.original ??= message;
  interaction.messages.push(message);
  if (!loading) interaction.answered = true;
  if (!hidden) core.gateway.messageCreated(message);
  return message;
}

/** application-commands.mdx, Option Choice: the value's type is the option's type. */
function checkChoiceTypes(
  interaction: StandInteraction,
  choices: readonly { value: string | number }[],
): void {
  const wanted = interaction.focusedType === 3 ? 'string' : 'number';
  choices.forEach(({ value }, i) => {
    const fits =
      typeof value === wanted && (interaction.focusedType !== 4 || Number.isInteger(value));
    if (!fits) {
      throw formError(`data.choices.${i}.value`, 'BASE_TYPE_INVALID', 'Not of the option’s type.');
    }
  });
}

const TYPES = {
  command: InteractionType.ApplicationCommand,
  autocomplete: InteractionType.ApplicationCommandAutocomplete,
  press: InteractionType.MessageComponent,
  modal: InteractionType.ModalSubmit,
} as const;

export const interactionTypeOf = (interaction: Pick<StandInteraction, 'type'>) =>
  TYPES[interaction.type];

/** Same page, Interaction Callback Response Object. */
function callbackResponse(core: Core, interaction: StandInteraction, type: Response): object {
  const message = interaction.messages[0];
  const withMessage = [Response.ChannelMessageWithSource, Response.UpdateMessage].includes(type);
  const shown = message ?? interaction.original;
  return {
    interaction: {
      id: interaction.id,
      type: interactionTypeOf(interaction),
      ...(message === undefined
        ? {}
        : {
            response_message_id: message.id,
            response_message_loading: message.loading,
            response_message_ephemeral: message.onlyFor !== undefined,
          }),
    },
    resource: {
      type,
      ...(withMessage && shown !== undefined ? { message: messageJson(core.world, shown) } : {}),
    },
  };
}

export const interactionRoutes: readonly Route[] = [
  {
    route: 'POST /interactions/:interaction/:token/callback',
    handle: callback,
    open: true,
    query: ['with_response'],
  },
];
