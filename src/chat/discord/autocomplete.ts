import type { ApplicationCommandOptionChoiceData, AutocompleteInteraction } from 'discord.js';
import type { App } from '../../app/app.ts';
import { findSub } from '../../app/command.ts';
import type { Rates } from '../../app/rates.ts';
import { cut, oneLine } from '../plain.ts';
import { suggestions } from '../suggestions.ts';
import { callOf, slashOf } from './call.ts';
import { CHOICE_TEXT_MAX, CHOICES_MAX } from './limits.ts';

/** Discord gives three seconds and no way to defer. */
const LIMIT_MS = 1500;

export async function complete(
  app: App,
  interaction: AutocompleteInteraction,
  rates: Rates,
): Promise<ApplicationCommandOptionChoiceData[]> {
  const call = callOf(interaction, app.clock);
  // Nobody is told: they only see that nothing is suggested, and may type it.
  if (rates.counted(['completion', 'completions'], call) !== undefined) return [];
  const { path, raw } = slashOf(interaction, app.clock);
  const focused = interaction.options.getFocused(true);
  const found = await suggestions(app, findSub(app.commands, path)?.options[focused.name], {
    call,
    typed: String(focused.value),
    others: raw,
    limitMs: LIMIT_MS,
  });
  return found
    .filter(({ name, value }) => name !== '' && String(value).length <= CHOICE_TEXT_MAX)
    .slice(0, CHOICES_MAX)
    .map(({ name, value }) => ({ name: cut(oneLine(name), CHOICE_TEXT_MAX), value }));
}
