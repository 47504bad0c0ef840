import { Refusal } from '../say/refusal.ts';
import type { Line, Reply } from '../say/reply.ts';
import type { App } from './app.ts';
import type { Command, OptionDef, Sub } from './command.ts';

/**
 * A command with its options, each with its few words: `topout`, or one part of it: `trip open`.
 *
 * @throws Refusal when there is no such command
 */
export function helpAbout(app: App, about: string): Reply {
  const [name = '', part] = about.trim().replace(/^\//u, '').toLowerCase().split(/\s+/u);
  const command = app.commands.find((c) => c.name === name);
  if (command === undefined) {
    throw new Refusal('no-such-command', [
      `There is no /${name}.`,
      `There is: ${app.commands.map((c) => c.name).join(', ')}.`,
    ]);
  }
  return { lines: [...headOf(command), ...partsOf(command, part)], private: true };
}

function headOf(command: Command): Line[] {
  return command.bare === undefined ? [`/${command.name}: ${command.description}.`] : [];
}

function partsOf(command: Command, part: string | undefined): Line[] {
  if (command.bare !== undefined) return subLines(`/${command.name}`, command.bare);
  const subs = Object.entries(command.subs ?? {});
  const chosen = subs.filter(([name]) => name === part);
  return (chosen.length > 0 ? chosen : subs).flatMap(([name, sub]) =>
    subLines(`/${command.name} ${name}`, sub),
  );
}

function subLines(path: string, sub: Sub): Line[] {
  const options = Object.entries(sub.options).filter(([, def]) => def.hidden !== true);
  return [
    [{ code: path }, ` ${sub.description}.`],
    ...options.map(([name, def]): Line => ['  ', { code: `${name}:` }, ` ${optionWords(def)}`]),
  ];
}

function optionWords(def: OptionDef): string {
  const choices = 'choices' in def ? (def.choices ?? []).map((c) => c.name) : [];
  const mayBe = def.type === 'boolean' ? ['yes', 'no'] : choices;
  const notes = [...(def.required === true ? ['needed'] : []), mayBe.join(', ')].filter(Boolean);
  return notes.length === 0 ? def.description : `${def.description} (${notes.join('; ')})`;
}
