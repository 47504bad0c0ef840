import type {
  AutocompleteInteraction,
  ButtonInteraction,
  ChatInputCommandInteraction,
  Interaction,
  ModalSubmitInteraction,
} from 'discord.js';
import type { App } from '../../app/app.ts';
import { findSub, type RawArgs } from '../../app/command.ts';
import { dispatch } from '../../app/dispatch.ts';
import { inTheirWords, wordsOfCaller } from '../../app/toward.ts';
import { Refusal } from '../../say/refusal.ts';
import { suggestions } from '../suggestions.ts';
import { tripOf } from '../trip-of.ts';
import { type AnswerTools, answer, answerPlain } from './answer.ts';
import { verdictOf } from './api-errors.ts';
import { complete } from './autocomplete.ts';
import { type Answerable, callOf, slashOf } from './call.ts';
import type { Pressable } from './custom-id.ts';
import { filledIn } from './filled.ts';
import { modalFor, type Picks } from './form.ts';
import { MESSAGE_COMMAND, openRelayed, relayedPath } from './relayed-form.ts';

const OLD_BUTTON = new Refusal('old-button', [
  'This button is from another version of the bot and does nothing now.',
  ['The command still works: ', { code: '/help' }],
]);
const CLOSING = new Refusal('restarting', 'The bot is being restarted. Try again in a minute.');

/** Routes one interaction. Never rejects. */
export async function handle(
  app: App,
  interaction: Interaction,
  tools: AnswerTools,
  closing: boolean,
): Promise<void> {
  try {
    if (interaction.isAutocomplete()) await handleCompletion(app, interaction, tools, closing);
    else if (!isAnswerable(interaction)) return;
    else if (closing) await refuse(app, interaction, CLOSING, tools);
    else if (interaction.isChatInputCommand()) await handleSlash(app, interaction, tools);
    else if (interaction.isMessageContextMenuCommand()) {
      if (interaction.commandName === MESSAGE_COMMAND) await openRelayed(app, interaction, tools);
    } else await handlePress(app, interaction, tools);
  } catch (error) {
    tools.log.error({ err: error, interaction: interaction.id }, 'interaction failed');
  }
}

function isAnswerable(interaction: Interaction): interaction is Answerable {
  return (
    interaction.isChatInputCommand() ||
    interaction.isButton() ||
    interaction.isModalSubmit() ||
    interaction.isMessageContextMenuCommand()
  );
}

async function handleCompletion(
  app: App,
  interaction: AutocompleteInteraction,
  { rates }: Pick<AnswerTools, 'rates'>,
  closing: boolean,
): Promise<void> {
  const choices = closing ? [] : await complete(app, interaction, rates);
  try {
    await interaction.respond(choices);
  } catch (error) {
    // The person typed on or the line was slow; the next keystroke asks again.
    app.log.debug({ why: verdictOf(error).why }, 'completion came too late');
  }
}

async function handleSlash(
  app: App,
  interaction: ChatInputCommandInteraction,
  tools: AnswerTools,
): Promise<void> {
  const { path, raw } = slashOf(interaction, app.clock);
  await run(app, interaction, { path, raw }, tools);
}

async function handlePress(
  app: App,
  interaction: ButtonInteraction | ModalSubmitInteraction,
  tools: AnswerTools,
): Promise<void> {
  if (interaction.isModalSubmit()) {
    const path = relayedPath(interaction);
    if (path !== undefined)
      return handleForm(app, interaction, { press: { path, options: {} } }, tools);
  }
  const press = await tools.surface.pressOf(interaction.customId);
  if (press === undefined) return refuse(app, interaction, OLD_BUTTON, tools);
  const { path } = press.press;
  if (interaction.isModalSubmit()) return handleForm(app, interaction, press, tools);
  const { component } = interaction;
  const label = 'label' in component ? (component.label ?? '') : '';
  const options = findSub(app.commands, path)?.options ?? {};
  const picks = press.ask === undefined ? {} : await picksFor(app, interaction, press);
  const form = modalFor(press, label, options, picks);
  if (form === undefined) {
    return run(app, interaction, { path, raw: press.press.options, trip: press.trip }, tools);
  }
  try {
    await tools.surface.keep(form.kept);
    await interaction.showModal(form.modal);
  } catch (error) {
    tools.log.warn({ why: verdictOf(error).why }, 'form could not be opened');
  }
}

async function handleForm(
  app: App,
  interaction: ModalSubmitInteraction,
  press: Pressable,
  tools: AnswerTools,
): Promise<void> {
  const filled = filledIn(app, press, interaction);
  if (filled instanceof Refusal) return refuse(app, interaction, filled, tools, press.trip);
  const what = { path: press.press.path, raw: filled, trip: press.trip };
  return run(app, interaction, what, tools);
}

/** Where no command is run: in a contact's own words in a direct message, as `dispatch` does it. */
async function refuse(
  app: App,
  interaction: Answerable,
  refusal: Refusal,
  { log }: AnswerTools,
  trip?: string,
): Promise<void> {
  const words = await wordsOfCaller(app, callOf(interaction, app.clock, trip));
  return answerPlain(interaction, inTheirWords(words, refusal.reply()), log);
}

/** A form has to be there within three seconds, and can't be announced. */
const PICKS_WITHIN_MS = 1_000;

/** What can be picked in the form a button asks for. */
async function picksFor(
  app: App,
  interaction: ButtonInteraction,
  press: Pressable,
): Promise<Picks> {
  const { path, options: others } = press.press;
  const defs = findSub(app.commands, path)?.options ?? {};
  const call = callOf(interaction, app.clock, press.trip);
  const found = (press.ask?.fields ?? []).map(async ({ name }) => {
    const ask = { call, typed: '', others, limitMs: PICKS_WITHIN_MS };
    return [name, await suggestions(app, defs[name], ask)] as const;
  });
  return Object.fromEntries(await Promise.all(found));
}

async function run(
  app: App,
  interaction: Answerable,
  what: { path: string; raw: RawArgs; trip?: string | undefined },
  tools: AnswerTools,
): Promise<void> {
  const call = callOf(interaction, app.clock, what.trip);
  const sub = findSub(app.commands, what.path);
  const tooOften = sub === undefined ? undefined : tools.rates.refusal(sub, call);
  if (tooOften !== undefined) {
    tools.log.info({ path: what.path, code: tooOften.code }, 'refused');
    return refuse(app, interaction, tooOften, tools, what.trip);
  }
  await answer(
    interaction,
    {
      reply: () => dispatch(app, call, what.path, what.raw),
      private: sub?.private === true,
      changes: sub !== undefined && sub.access !== 'look',
      async context(reply) {
        const trip = await tripOf(app, call, reply);
        return { nowMs: call.atMs, ...(trip === undefined ? {} : { trip }) };
      },
    },
    tools,
  );
}
