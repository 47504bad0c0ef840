import { execFileSync, spawnSync } from 'node:child_process';
import { join } from 'node:path';

/** What a unit allows of system calls, and what becomes of the others. */
export interface Filter {
  allowed: readonly string[];
  /** `kill` as systemd does it unless SystemCallErrorNumber= names an errno. */
  action: string;
}

const settings = (unit: string, name: string) =>
  [...unit.matchAll(new RegExp(`^${name}=(.*)$`, 'gm'))].map(([, value = '']) => value.trim());

/** All sets of calls as this machine's systemd has them: `@name`, then its members, indented. */
function systemdSets(): Map<string, string[]> {
  const listed = execFileSync('systemd-analyze', ['--no-pager', 'syscall-filter'], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'ignore'],
  });
  const sets = new Map<string, string[]>();
  let name = '';
  for (const line of listed.split('\n')) {
    if (line.startsWith('@')) name = line.trim();
    const member = line.trim();
    if (!line.startsWith(' ') || member === '' || member.startsWith('#')) continue;
    sets.set(name, [...(sets.get(name) ?? []), member]);
  }
  return sets;
}

let known: Map<string, string[]> | undefined;

/** The calls behind a name: of a set, or the call itself. */
function expand(name: string): string[] {
  if (!name.startsWith('@')) return [name];
  known ??= systemdSets();
  return (known.get(name) ?? []).flatMap(expand);
}

/**
 * The filter of a unit (systemd.exec(5), SystemCallFilter=): the first line says that what is listed is
 * allowed, lines with ~ take away, and @default is always allowed.
 */
export function filterOf(unit: string): Filter {
  const allowed = new Set(expand('@default'));
  for (const line of settings(unit, 'SystemCallFilter')) {
    const names = line.replace(/^~/, '').split(/\s+/).flatMap(expand);
    for (const name of names) line.startsWith('~') ? allowed.delete(name) : allowed.add(name);
  }
  const [action = 'kill'] = settings(unit, 'SystemCallErrorNumber');
  return { allowed: [...allowed], action };
}

/** The command that runs another one under the filter. */
export function under({ allowed, action }: Filter, command: readonly string[]): string[] {
  return [
    'python3',
    join(import.meta.dirname, 'filtered.py'),
    action,
    allowed.join(','),
    ...command,
  ];
}

/** Whether this machine can set such a filter: systemd's own list of calls, Python, libseccomp. */
export function canFilter(): boolean {
  if (process.platform !== 'linux') return false;
  if (spawnSync('systemd-analyze', ['syscall-filter', '@default']).status !== 0) return false;
  const load = 'import ctypes; ctypes.CDLL("libseccomp.so.2")';
  return spawnSync('python3', ['-c', load]).status === 0;
}
