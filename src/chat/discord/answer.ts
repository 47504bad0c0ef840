import { type ButtonInteraction, MessageFlags } from 'discord.js';
import type { Logger } from 'pino';
import type { Rates } from '../../app/rates.ts';
import type { Reply } from '../../say/reply.ts';
import type { Clock } from '../../time/clock.ts';
import { cut } from '../plain.ts';
import { replyText } from '../text.ts';
import { doneAndAnnounced } from './announce.ts';
import { type ApiVerdict, verdictOf } from './api-errors.ts';
import type { Answerable } from './call.ts';
import { CARD } from './card.ts';
import { escapeText } from './escape.ts';
import { CONTENT_MAX } from './limits.ts';
import { messageOptions } from './message.ts';
import type { Outgoing } from './outgoing.ts';
import type { Patience } from './patience.ts';
import type { RenderContext, Rendered } from './render.ts';
import { onAnswer, spentComponents } from './spent.ts';
import type { Surface } from './surface.ts';

export interface AnswerJob {
  /** Does what is asked. */
  reply(): Promise<Reply>;
  /** The answer will be for the asker only; decides how it is deferred. */
  private: boolean;
  /** It may have changed the trip: told in the channel when it can't be answered. */
  changes: boolean;
  /** Known only after the reply, which may have opened the trip. */
  context(reply: Reply): Promise<RenderContext>;
}

export interface AnswerTools {
  clock: Clock;
  log: Logger;
  outgoing: Outgoing;
  surface: Surface;
  patience: Patience;
  rates: Rates;
}

/**
 * The one place that answers an interaction. Discord lets a token die after three seconds, so an
 * answer that isn't there soon (`patience.ts`) is announced first and then filled in. Never
 * rejects: what can't be answered is logged, and a change is told in the channel instead.
 */
export async function answer(
  interaction: Answerable,
  job: AnswerJob,
  tools: AnswerTools,
): Promise<void> {
  const { refusedDefer, reply } = await doneAndAnnounced(interaction, job, tools);
  const { messages } = await tools.surface.render(reply, await job.context(reply));
  const hidden = job.private || reply.private === true;
  const spends = job.changes && reply.refused !== true && isSpendable(interaction);
  const audience = { hidden, promised: job.private };
  if (spends && isHidden(interaction)) await spendHidden(interaction, tools);
  const failure = refusedDefer ?? (await deliver(interaction, messages, audience, tools.log));
  if (failure === undefined) {
    return spends && !isHidden(interaction) ? spend(interaction, tools) : undefined;
  }
  const level =
    failure.why === 'token-dead' || failure.why === 'already-answered' ? 'warn' : 'error';
  tools.log[level]({ interaction: interaction.id, why: failure.why }, 'answer not delivered');
  if (failure.why === 'already-answered' || !job.changes) return;
  await tellElsewhere(interaction, { reply, hidden, context: await job.context(reply) }, tools);
}

type Audience = { hidden: boolean; promised: boolean };

/** A press of a button on an answer of ours. */
function isSpendable(interaction: Answerable): interaction is ButtonInteraction {
  return interaction.isButton() && onAnswer(interaction);
}

const isHidden = ({ message }: ButtonInteraction) => message.flags.has(MessageFlags.Ephemeral);

/**
 * A message for the asker's eyes only can be changed by what answers a press of its own button and by nothing
 * else (receiving-and-responding.mdx, UPDATE_MESSAGE). Once that is a deferral, it stays as it is.
 */
async function spendHidden(interaction: ButtonInteraction, { log }: AnswerTools): Promise<void> {
  if (interaction.deferred || interaction.replied) return;
  try {
    await interaction.update({ components: spentOn(interaction) });
  } catch (error) {
    const { why } = verdictOf(error);
    log.debug({ why }, 'a spent button was left as it was');
    // Our own request may have got through before the library repeated it; then the answer follows it.
    if (why === 'already-answered') interaction.replied = true;
  }
}

const spentOn = ({ message, customId }: ButtonInteraction) =>
  spentComponents(
    message.components.map((c) => c.toJSON()),
    customId,
  );

/** The pressed button has done what it is for. The answer goes first: it is what is waited for. */
async function spend(
  interaction: ButtonInteraction,
  { outgoing, log }: AnswerTools,
): Promise<void> {
  const { channelId: channel, id: message } = interaction.message;
  const done = await outgoing.replaceComponents({ channel, message }, spentOn(interaction));
  if (!done.ok) log.debug({ why: done.error.why }, 'a spent button was left as it was');
}

async function deliver(
  interaction: Answerable,
  messages: readonly Rendered[],
  audience: Audience,
  log: Logger,
): Promise<ApiVerdict | undefined> {
  for (const [place, message] of messages.entries()) {
    const failure = await inSomeForm(message, (form) =>
      place === 0
        ? sendFirst(interaction, form, audience, log)
        : interaction.followUp({ ...messageOptions(form), flags: flagsOf(audience, form) }),
    );
    if (failure !== undefined) return failure;
  }
  return undefined;
}

/** In full; then without files when they are too large; then as bare text. */
async function inSomeForm(
  message: Rendered,
  send: (form: Rendered) => Promise<unknown>,
): Promise<ApiVerdict | undefined> {
  let form = message;
  for (;;) {
    try {
      await send(form);
      return undefined;
    } catch (error) {
      const verdict = verdictOf(error);
      const next = lesserForm(form, verdict);
      if (next === undefined) return verdict;
      form = next;
    }
  }
}

/** Each step takes something away, so there is an end to it. */
function lesserForm(form: Rendered, verdict: ApiVerdict): Rendered | undefined {
  if (verdict.fallback === 'no-files' && form.files.length > 0) {
    const note = 'The file is too large to send here.';
    return { ...form, files: [], content: cut(`${form.content}\n${note}`, CONTENT_MAX) };
  }
  const { content, pings, card, files, rows } = form;
  if (verdict.fallback === 'bare-text' && (card !== undefined || files.length + rows.length > 0)) {
    return { files: [], rows: [], pings, content: content || '(no text)' };
  }
  return undefined;
}

/** An answer is no alarm: it rings nobody whom it doesn't name. */
function flagsOf({ hidden }: Audience, { pings, card }: Rendered) {
  const whose = hidden ? MessageFlags.Ephemeral : MessageFlags.SuppressNotifications;
  const audience = hidden || pings.length === 0 ? ([whose] as const) : [];
  return [...audience, ...(card === undefined ? [] : ([CARD] as const))];
}

async function sendFirst(
  interaction: Answerable,
  message: Rendered,
  audience: Audience,
  log: Logger,
): Promise<void> {
  if (interaction.replied) {
    await interaction.followUp({ ...messageOptions(message), flags: flagsOf(audience, message) });
  } else if (!interaction.deferred) {
    await interaction.reply({ ...messageOptions(message), flags: flagsOf(audience, message) });
  } else if (audience.hidden === audience.promised && message.pings.length === 0) {
    await interaction.editReply({
      ...messageOptions(message),
      ...(message.card === undefined ? {} : { flags: CARD }),
    });
  } else {
    await replaceDeferred(interaction, message, audience, log);
  }
}

/**
 * Who sees an answer can't change once it is deferred, and filling it in pings nobody. So a new
 * message takes its place. The deferred one is filled in first: a message that follows directly on
 * a deferral would itself fill it in, in sight of everyone (receiving-and-responding.mdx, Create
 * Followup Message).
 */
async function replaceDeferred(
  interaction: Answerable,
  message: Rendered,
  audience: Audience,
  log: Logger,
): Promise<void> {
  await interaction.editReply({ content: 'The answer follows.' });
  await interaction.followUp({ ...messageOptions(message), flags: flagsOf(audience, message) });
  try {
    await interaction.deleteReply();
  } catch (error) {
    // Two lines instead of one; the answer itself is there.
    log.warn({ why: verdictOf(error).why }, 'deferred message left standing');
  }
}

interface Untold {
  reply: Reply;
  hidden: boolean;
  context: RenderContext;
}

/**
 * What was done is told in the channel. What was done for the asker's eyes only, or not done, goes to them
 * alone; where they take no direct messages the channel is told so much that they ask again.
 */
async function tellElsewhere(
  interaction: Answerable,
  { reply, hidden, context }: Untold,
  { outgoing, log }: AnswerTools,
): Promise<void> {
  const { user, channelId } = interaction;
  // The interaction's id: told once, even if this is tried again.
  const message = { ...context, reply, nonce: interaction.id };
  const toChannel = async (what: Reply) =>
    channelId === null
      ? false
      : (await outgoing.toChannel(channelId, { ...message, reply: what })).ok;
  const toAsker = async () => (await outgoing.toUser(user.id, message)).ok;
  const refused = reply.refused === true;
  const told =
    hidden || refused
      ? (await toAsker()) || (await toChannel(unanswered(user, refused)))
      : (await toChannel(reply)) || (await toAsker());
  if (!told) log.error({ interaction: interaction.id }, 'change not told');
}

/** To everybody, so nothing of what it was about. */
function unanswered({ id, displayName }: Answerable['user'], refused: boolean): Reply {
  const who = { text: displayName, userId: id };
  const what = refused
    ? ': what you just sent was not taken, and the answer could not reach you. Send it again.'
    : ': what you just sent was taken, but the answer could not reach you. Look before you send it again.';
  return { lines: [[who, what]], pings: [id] };
}

/** A few words for the asker only; used where no command is run. Never rejects. */
export async function answerPlain(
  interaction: Answerable,
  reply: Reply,
  log: Logger,
): Promise<void> {
  try {
    await interaction.reply({
      content: cut(replyText(reply).map(escapeText).join('\n'), CONTENT_MAX),
      flags: MessageFlags.Ephemeral,
    });
  } catch (error) {
    log.warn({ interaction: interaction.id, why: verdictOf(error).why }, 'answer not delivered');
  }
}
