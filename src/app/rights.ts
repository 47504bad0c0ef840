import type { Command, Sub } from './command.ts';

/** Who people are to a trip. A manager is one of the chat's server, and needs no place on the trip. */
export const ROLES = [
  'stranger',
  'climber',
  'ground crew',
  'contact',
  'opener',
  'manager',
] as const;
export type RoleName = (typeof ROLES)[number];

/** What a role may do with a subcommand; `own` for entries of one's own only. */
export type Right = 'yes' | 'own' | 'no';

/** A subcommand and what each role may do with it, from its definition. */
export interface RightsRow {
  path: string;
  rights: Record<RoleName, Right>;
}

/** Who may do what, for every subcommand, in the order of the commands. */
export function rightsOf(commands: readonly Command[]): RightsRow[] {
  return commands.flatMap(({ name, bare, subs }) => [
    ...(bare === undefined ? [] : [{ path: name, rights: rightsTo(bare) }]),
    ...Object.entries(subs ?? {}).map(([sub, def]) => ({
      path: `${name} ${sub}`,
      rights: rightsTo(def),
    })),
  ]);
}

function rightsTo({ access, managers, options }: Sub): Record<RoleName, Right> {
  const seen = access === 'anyone' || access === 'look';
  const member = access === 'opener' ? 'no' : 'yes';
  const contact = access !== 'post' ? member : 'entry' in options ? 'own' : 'no';
  return {
    stranger: seen ? 'yes' : 'no',
    climber: member,
    'ground crew': member,
    contact,
    opener: 'yes',
    manager: seen || managers === true ? 'yes' : 'no',
  };
}

/** The same as a table of Markdown, subcommands of equal rights in one row. */
export function rightsTable(commands: readonly Command[]): string {
  const rows = new Map<string, string[]>();
  for (const { path, rights } of rightsOf(commands)) {
    const key = ROLES.map((role) => rights[role]).join(' | ');
    rows.set(key, [...(rows.get(key) ?? []), `/${path}`]);
  }
  return [
    `| command | ${ROLES.join(' | ')} |`,
    `|---|${ROLES.map(() => '---').join('|')}|`,
    ...[...rows].map(([key, paths]) => `| ${paths.join(', ')} | ${key} |`),
  ].join('\n');
}
