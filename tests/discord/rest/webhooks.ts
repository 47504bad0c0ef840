import { deleteMessage, editMessage } from '../compose.ts';
import type { Core } from '../core.ts';
import { refusal } from '../errors.ts';
import { INTERACTION } from '../limits.ts';
import type { StandInteraction, StandMessage } from '../model.ts';
import { messageJson } from '../payloads.ts';
import { interactionMessage, messageEdit } from '../schemas/message.ts';
import { sayFor } from './interactions.ts';
import { parse } from './parse.ts';
import { type Handler, NO_CONTENT, ok, type Route } from './request.ts';

/** interactions/receiving-and-responding.mdx, Followup Messages: what a token can do after the first answer. */

type Params = Readonly<Record<string, string>>;

/**
 * 10015 before the first answer, 50027 after fifteen minutes or for a token nobody gave out; seen in
 * discord/discord-api-docs issues 6851 and 7220.
 */
function interactionOf(core: Core, params: Params): StandInteraction {
  const interaction = core.world.byToken.get(params.token ?? '');
  if (params.application !== core.world.bot.id) throw refusal(10015);
  if (interaction === undefined) throw refusal(50027);
  if (core.clock.wallMs() - interaction.dispatchedAtMs > INTERACTION.tokenMs) throw refusal(50027);
  if (interaction.ack === undefined) throw refusal(10015);
  return interaction;
}

/** `@original` is the first answer, or the message it changed; a form leaves none. */
function messageOf(interaction: StandInteraction, id: string): StandMessage {
  const found =
    id === '@original' || id === interaction.original?.id
      ? interaction.original
      : interaction.messages.find((m) => m.id === id);
  if (found === undefined || found.deleted) throw refusal(10008);
  return found;
}

const followUp: Handler = (core, { params, json, files }) => {
  const interaction = interactionOf(core, params);
  const body = parse(interactionMessage, json);
  const original = interaction.original;
  // Create Followup Message: straight after a deferral it fills the deferred answer in.
  if (original?.loading === true && !original.deleted) {
    const { flags: _ephemeralCannotChange, ...content } = body;
    editMessage(core, original, content, files);
    interaction.answered = true;
    return ok(messageJson(core.world, original));
  }
  return ok(messageJson(core.world, sayFor(core, interaction, body, files, false)));
};

const edit: Handler = (core, { params, json, files }) => {
  const interaction = interactionOf(core, params);
  const message = messageOf(interaction, params.message ?? '');
  editMessage(core, message, parse(messageEdit, json), files);
  interaction.answered = true;
  if (message.onlyFor === undefined) core.gateway.messageUpdated(message);
  return ok(messageJson(core.world, message));
};

const get: Handler = (core, { params }) =>
  ok(messageJson(core.world, messageOf(interactionOf(core, params), params.message ?? '')));

const remove: Handler = (core, { params }) => {
  const interaction = interactionOf(core, params);
  deleteMessage(core, messageOf(interaction, params.message ?? ''));
  interaction.answered = true;
  return NO_CONTENT;
};

const ONE = '/webhooks/:application/:token/messages/:message';

export const webhookRoutes: readonly Route[] = [
  {
    route: 'POST /webhooks/:application/:token',
    handle: followUp,
    open: true,
    query: ['wait', 'with_components'],
  },
  { route: `GET ${ONE}`, handle: get, open: true },
  { route: `PATCH ${ONE}`, handle: edit, open: true, query: ['with_components'] },
  { route: `DELETE ${ONE}`, handle: remove, open: true },
];
