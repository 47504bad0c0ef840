import { MessageFlags } from 'discord.js';
import type { Logger } from 'pino';
import type { Rates } from '../../app/rates.ts';
import type { Reply } from '../../say/reply.ts';
import type { Clock } from '../../time/clock.ts';
import { cut } from '../plain.ts';
import { replyText } from '../text.ts';
import { type ApiVerdict, verdictOf } from './api-errors.ts';
import type { Answerable } from './call.ts';
import { escapeText } from './escape.ts';
import { CONTENT_MAX } from './limits.ts';
import { messageOptions } from './message.ts';
import type { Outgoing } from './outgoing.ts';
import { type RenderContext, type Rendered, renderReply } from './render.ts';

export interface AnswerJob {
  reply: Promise<Reply>;
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
  deferAfterMs: number;
  rates: Rates;
}

/**
 * The one place that answers an interaction. Discord lets a token die after three seconds, so an
 * answer that isn't there within `deferAfterMs` is announced first and then filled in. Never
 * rejects: what can't be answered is logged, and a change is told in the channel instead.
 */
export async function answer(
  interaction: Answerable,
  job: AnswerJob,
  tools: AnswerTools,
): Promise<void> {
  const refusedDefer = await deferIfSlow(interaction, job, tools);
  const reply = await job.reply;
  const { messages, problems } = renderReply(reply, await job.context(reply));
  if (problems.length > 0) tools.log.error({ problems }, 'parts of an answer were left out');
  const hidden = job.private || reply.private === true;
  const failure =
    refusedDefer ??
    (await deliver(interaction, messages, { hidden, promised: job.private }, tools.log));
  if (failure === undefined) return;
  const level =
    failure.why === 'token-dead' || failure.why === 'already-answered' ? 'warn' : 'error';
  tools.log[level]({ interaction: interaction.id, why: failure.why }, 'answer not delivered');
  if (failure.why === 'already-answered') return;
  if (job.changes && !hidden && reply.refused !== true) {
    await tellChannel(interaction, reply, await job.context(reply), tools);
  }
}

/** Why deferring failed, when it did. */
async function deferIfSlow(
  interaction: Answerable,
  job: AnswerJob,
  tools: AnswerTools,
): Promise<ApiVerdict | undefined> {
  const timer = new AbortController();
  const slow = await Promise.race([
    job.reply.then(() => false),
    tools.clock.sleep(tools.deferAfterMs, timer.signal).then(() => true),
  ]);
  timer.abort();
  if (!slow) return undefined;
  try {
    await interaction.deferReply(job.private ? { flags: MessageFlags.Ephemeral } : {});
    return undefined;
  } catch (error) {
    const verdict = verdictOf(error);
    if (verdict.why !== 'already-answered') return verdict;
    // Our own request may have got through before the library repeated it; then it can be filled in.
    interaction.deferred = true;
    return undefined;
  }
}

type Audience = { hidden: boolean; promised: boolean };

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
        : interaction.followUp({ ...messageOptions(form), ...flagsOf(audience) }),
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
  if (verdict.fallback === 'bare-text' && form.files.length + form.rows.length > 0) {
    return { ...form, files: [], rows: [], content: form.content || '(no text)' };
  }
  return undefined;
}

function flagsOf({ hidden }: Audience): { flags?: MessageFlags.Ephemeral } {
  return hidden ? { flags: MessageFlags.Ephemeral } : {};
}

async function sendFirst(
  interaction: Answerable,
  message: Rendered,
  audience: Audience,
  log: Logger,
): Promise<void> {
  if (!interaction.deferred) {
    await interaction.reply({ ...messageOptions(message), ...flagsOf(audience) });
  } else if (audience.hidden === audience.promised && message.pings.length === 0) {
    await interaction.editReply(messageOptions(message));
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
  await interaction.followUp({ ...messageOptions(message), ...flagsOf(audience) });
  try {
    await interaction.deleteReply();
  } catch (error) {
    // Two lines instead of one; the answer itself is there.
    log.warn({ why: verdictOf(error).why }, 'deferred message left standing');
  }
}

async function tellChannel(
  interaction: Answerable,
  reply: Reply,
  context: RenderContext,
  tools: AnswerTools,
): Promise<void> {
  if (interaction.channelId === null) return;
  const told = await tools.outgoing.toChannel(interaction.channelId, {
    ...context,
    reply,
    // The interaction's id: told once, even if this is tried again.
    nonce: interaction.id,
  });
  if (!told.ok) {
    tools.log.error({ interaction: interaction.id, why: told.error.why }, 'change not told');
  }
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
