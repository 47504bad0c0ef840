import { MessageFlags, InteractionResponseType as Response } from 'discord.js';
import { z } from 'zod';
import { COMMAND, INTERACTION } from '../limits.ts';
import type { StandInteraction } from '../model.ts';
import { localised } from './command-option.ts';
import { interactionMessage } from './message.ts';
import { modalBody } from './modal.ts';
import { flags, text } from './primitives.ts';

/** receiving-and-responding.mdx, Interaction Response Object. */

const autocomplete = z.strictObject({
  choices: z
    .array(
      z.strictObject({
        name: text(COMMAND.choiceNameMax, 1),
        name_localizations: localised(text(COMMAND.choiceNameMax, 1)),
        value: z.union([text(COMMAND.choiceValueMax, 1), z.number()]),
      }),
    )
    .max(INTERACTION.autocompleteMax),
});

/** Deferring, the only valid flag is EPHEMERAL. */
const deferred = z.strictObject({ flags: flags(MessageFlags.Ephemeral).nullish() });

export const callbackBody = z.discriminatedUnion('type', [
  z.strictObject({ type: z.literal(Response.ChannelMessageWithSource), data: interactionMessage }),
  z.strictObject({
    type: z.literal(Response.DeferredChannelMessageWithSource),
    data: deferred.optional(),
  }),
  z.strictObject({
    type: z.literal(Response.DeferredMessageUpdate),
    data: z.strictObject({}).optional(),
  }),
  z.strictObject({ type: z.literal(Response.UpdateMessage), data: interactionMessage }),
  z.strictObject({
    type: z.literal(Response.ApplicationCommandAutocompleteResult),
    data: autocomplete,
  }),
  z.strictObject({ type: z.literal(Response.Modal), data: modalBody }),
]);

const MESSAGES = [Response.ChannelMessageWithSource, Response.DeferredChannelMessageWithSource];
const UPDATES = [Response.DeferredMessageUpdate, Response.UpdateMessage];

/** Same page, Interaction Callback Type: what may answer what. */
export function mayAnswer(interaction: StandInteraction, type: Response): boolean {
  if (interaction.type === 'autocomplete') {
    return type === Response.ApplicationCommandAutocompleteResult;
  }
  if (interaction.type === 'command') return [...MESSAGES, Response.Modal].includes(type);
  if (interaction.type === 'press') return [...MESSAGES, ...UPDATES, Response.Modal].includes(type);
  // A form opened from a button is component-based too; a form can't open another form.
  return (interaction.source === undefined ? MESSAGES : [...MESSAGES, ...UPDATES]).includes(type);
}
