import { MessageFlags } from 'discord.js';
import type { Reply } from '../../say/reply.ts';
import type { Clock } from '../../time/clock.ts';
import { type ApiVerdict, verdictOf } from './api-errors.ts';
import type { Answerable } from './call.ts';
import type { Patience, Wait } from './patience.ts';

interface Job {
  reply(): Promise<Reply>;
  private: boolean;
}

interface Tools {
  clock: Clock;
  patience: Patience;
}

/** Does what is asked; an answer that isn't there soon is announced to Discord before it is there. */
export function doneAndAnnounced(interaction: Answerable, job: Job, tools: Tools): Promise<Made> {
  return tools.patience.while((wait) =>
    wait.ms > 0 ? doneSoon(interaction, job, tools, wait) : announcedFirst(interaction, job, tools),
  );
}

/** The answer, and why deferring it failed, when it did. */
export interface Made {
  reply: Reply;
  refusedDefer?: ApiVerdict | undefined;
}

/** Does it, and announces the answer if it isn't there after a while. */
async function doneSoon(
  interaction: Answerable,
  job: Job,
  { clock, patience }: Tools,
  { ms, many }: Wait,
): Promise<Made> {
  const made = job.reply();
  const timer = new AbortController();
  const slow = await Promise.race([
    made.then(() => false),
    many.then(() => true),
    clock.sleep(ms, timer.signal).then(() => true),
  ]);
  timer.abort();
  const refusedDefer = slow ? await patience.announcing(announce(interaction, job)) : undefined;
  return { reply: await made, refusedDefer };
}

/** No work waits longer than this for a line that hangs. */
const HEAD_START_MS = 250;

/** Announces the answer, and does it then: the work of many would hold up the word that they have come in. */
async function announcedFirst(
  interaction: Answerable,
  job: Job,
  { clock, patience }: Tools,
): Promise<Made> {
  const announced = patience.announcing(announce(interaction, job));
  const timer = new AbortController();
  await Promise.race([patience.announced(), clock.sleep(HEAD_START_MS, timer.signal)]);
  timer.abort();
  return { reply: await job.reply(), refusedDefer: await announced };
}

/** Why deferring failed, when it did. */
async function announce(interaction: Answerable, job: Job): Promise<ApiVerdict | undefined> {
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
