import type { App } from '../app/app.ts';
import type { Call, Choice, OptionDef, RawArgs } from '../app/command.ts';

/**
 * What may follow while somebody types: an option's choices, or what its `suggest` finds. Never
 * rejects, and comes back empty when that takes longer than `limitMs`: it is a help, not an answer.
 */
export async function suggestions(
  app: App,
  def: OptionDef | undefined,
  ask: { call: Call; typed: string; others: RawArgs; limitMs: number },
): Promise<Choice[]> {
  if (def === undefined || !('choices' in def || 'suggest' in def)) return [];
  const want = ask.typed.trim().toLowerCase();
  if (def.choices !== undefined) {
    return def.choices.filter((c) => c.name.toLowerCase().includes(want));
  }
  const timer = new AbortController();
  try {
    return await Promise.race([
      def.suggest?.(ask.call, ask.typed, app, ask.others) ?? [],
      app.clock.sleep(ask.limitMs, timer.signal).then(() => []),
    ]);
  } catch (error) {
    // Without a trip there is nothing to suggest; that is said when the command is sent.
    app.log.debug({ err: error }, 'no suggestions');
    return [];
  } finally {
    timer.abort();
  }
}
