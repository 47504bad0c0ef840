import type {
  AutocompleteInteraction,
  ButtonInteraction,
  ChatInputCommandInteraction,
  Interaction,
  ModalSubmitInteraction,
} from 'discord.js';
import type { App } from '../../app/app.ts';
import { findSub, type RawArgs, type RawValue } from '../../app/command.ts';
import { dispatch } from '../../app/dispatch.ts';
import { Refusal } from '../../say/refusal.ts';
import { tripOf } from '../trip-of.ts';
import { typedValue } from '../typed-value.ts';
import { type AnswerTools, answer, answerPlain } from './answer.ts';
import { verdictOf } from './api-errors.ts';
import { complete } from './autocomplete.ts';
import { modalFor } from './buttons.ts';
import { type Answerable, callOf, slashOf } from './call.ts';
import type { Pressable } from './custom-id.ts';

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
    if (interaction.isAutocomplete()) await handleCompletion(app, interaction, closing);
    else if (!isAnswerable(interaction)) return;
    else if (closing) await answerPlain(interaction, CLOSING.reply(), tools.log);
    else if (interaction.isChatInputCommand()) await handleSlash(app, interaction, tools);
    else await handlePress(app, interaction, tools);
  } catch (error) {
    tools.log.error({ err: error, interaction: interaction.id }, 'interaction failed');
  }
}

function isAnswerable(interaction: Interaction): interaction is Answerable {
  return interaction.isChatInputCommand() || interaction.isButton() || interaction.isModalSubmit();
}

async function handleCompletion(
  app: App,
  interaction: AutocompleteInteraction,
  closing: boolean,
): Promise<void> {
  const choices = closing ? [] : await complete(app, interaction);
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
  const press = await tools.surface.pressOf(interaction.customId);
  if (press === undefined) return answerPlain(interaction, OLD_BUTTON.reply(), tools.log);
  const { path } = press.press;
  if (interaction.isModalSubmit()) {
    const filled = fill(app, press, interaction);
    if (filled instanceof Refusal) return answerPlain(interaction, filled.reply(), tools.log);
    return run(app, interaction, { path, raw: filled, trip: press.trip }, tools);
  }
  const { component } = interaction;
  const label = 'label' in component ? (component.label ?? '') : '';
  const form = modalFor(press, label, findSub(app.commands, path)?.options ?? {});
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

/** The press's own options and what was typed into the form, each as its option wants it. */
function fill(app: App, press: Pressable, interaction: ModalSubmitInteraction): RawArgs | Refusal {
  const { path, options } = press.press;
  const defs = findSub(app.commands, path)?.options ?? {};
  const raw: Record<string, RawValue> = { ...options };
  for (const [name, field] of interaction.fields.fields) {
    const text = 'value' in field ? String(field.value ?? '').trim() : '';
    const def = defs[name];
    if (text === '') continue;
    const typed = def === undefined ? undefined : typedValue(def, text);
    if (typed?.ok === false) {
      return new Refusal(
        'unreadable-options',
        `${text} could not be read: ${typed.problem} is needed.`,
      );
    }
    raw[name] = typed?.value ?? text;
  }
  return raw;
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
    return answerPlain(interaction, tooOften.reply(), tools.log);
  }
  await answer(
    interaction,
    {
      reply: dispatch(app, call, what.path, what.raw),
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
