import type { MessageContextMenuCommandInteraction, ModalSubmitInteraction } from 'discord.js';
import type { App } from '../../app/app.ts';
import { findSub, type Options } from '../../app/command.ts';
import { lookBack } from '../../record/trips.ts';
import { Refusal } from '../../say/refusal.ts';
import type { AskField } from '../../say/reply.ts';
import { clock } from '../../time/format.ts';
import { readRelayed } from '../relayed.ts';
import { suggestions } from '../suggestions.ts';
import { type AnswerTools, answerPlain } from './answer.ts';
import { verdictOf } from './api-errors.ts';
import { callOf } from './call.ts';
import { labelsOf } from './form.ts';

/** In the menu of every message: what a radio relay wrote becomes a post. */
export const MESSAGE_COMMAND = 'Use this message as a post';

const FORM = 'relayed';

const WHAT = {
  type: 'string',
  description: 'What happened',
  required: true,
  choices: [
    { name: 'The pitch is done', value: 'done' },
    { name: 'The pitch is fixed', value: 'fixed' },
    { name: 'The pitch was started', value: 'start' },
    { name: 'A word from them: all well', value: 'ok' },
  ],
} as const;

const PATHS: Readonly<Record<string, string>> = {
  done: 'pitch done',
  fixed: 'pitch fixed',
  start: 'pitch start',
  ok: 'checkin ok',
};

const LIMIT_MS = 1_000;

/**
 * Opens a form that is filled in from the message: nothing is posted before somebody has looked it over. The
 * time is what the message says, else when it was written.
 */
export async function openRelayed(
  app: App,
  interaction: MessageContextMenuCommandInteraction,
  tools: AnswerTools,
): Promise<void> {
  const call = callOf(interaction, app.clock);
  try {
    const { state } = await lookBack(app, call);
    const { content, createdTimestamp } = interaction.targetMessage;
    const { what, pitch, at = clock(state.zone, createdTimestamp) } = readRelayed(content);
    const done = findSub(app.commands, 'pitch done')?.options ?? {};
    const options: Options = { ...done, what: WHAT };
    const pick = { call, typed: '', others: {}, limitMs: LIMIT_MS };
    const [numbers, leaders] = await Promise.all([
      suggestions(app, options.number, pick),
      suggestions(app, options.leader, pick),
    ]);
    const fields: AskField[] = [
      { name: 'what', label: 'What happened', value: what },
      {
        name: 'number',
        label: 'Which pitch',
        ...(pitch === undefined ? {} : { value: String(pitch) }),
      },
      { name: 'at', label: 'When', value: at },
      { name: 'leader', label: 'Who led it, if not as planned' },
    ];
    await interaction.showModal({
      custom_id: FORM,
      title: 'Use as a post',
      components: labelsOf(fields, options, {
        what: WHAT.choices,
        number: numbers,
        leader: leaders,
      }),
    });
  } catch (error) {
    if (error instanceof Refusal) return answerPlain(interaction, error.reply(), tools.log);
    tools.log.warn({ why: verdictOf(error).why }, 'form could not be opened');
  }
}

/** The command that a filled-in form of a message stands for; undefined for any other form. */
export function relayedPath({ customId, fields }: ModalSubmitInteraction): string | undefined {
  if (customId !== FORM) return undefined;
  const [what = ''] = fields.getStringSelectValues('what');
  return PATHS[what];
}
