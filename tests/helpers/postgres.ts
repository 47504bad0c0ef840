/**
 * Debian's PostgreSQL server (package `postgresql`) in a folder of its own, on loopback, for as long as the
 * process runs. Where there is none its tests say so and are left out; in CI they fail.
 */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chmodSync, chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer } from 'node:net';
import { join } from 'node:path';
import { Client } from 'pg';
import { ROOM } from './room.ts';

/** Where Debian puts the programs of each major version. */
const VERSIONS = '/usr/lib/postgresql';
const USER = 'tagline';

/** Folder of `postgres` and `initdb`; undefined where the server isn't installed. */
export function postgresPrograms(): string | undefined {
  const versions = existsSync(VERSIONS) ? readdirSync(VERSIONS) : [];
  return versions
    .sort((a, b) => Number(b) - Number(a))
    .map((version) => join(VERSIONS, version, 'bin'))
    .find((folder) => existsSync(join(folder, 'postgres')) && existsSync(join(folder, 'initdb')));
}

/** The server refuses to run as root: then it runs as the user that Debian made for it. */
function runAs(): { uid: number; gid: number } | Record<string, never> {
  if (process.getuid?.() !== 0) return {};
  const id = (flag: string) => Number(execFileSync('id', [flag, 'postgres'], { encoding: 'utf8' }));
  return { uid: id('-u'), gid: id('-g') };
}

export interface Server {
  port: number;
  /** Address of a database of its own on it. */
  database(): Promise<string>;
  /** Ends it the hard way, as the kernel does when memory runs out: all its processes at once. */
  kill(): Promise<void>;
  start(): Promise<void>;
  /** Ends it and removes its folder. */
  remove(): Promise<void>;
}

/** @param room where its folder is made: in memory where that can be had, for what ends is the server, never the machine */
export async function startServer(programs: string, room = ROOM): Promise<Server> {
  const folder = mkdtempSync(join(room, 'tagline-postgres-'));
  const as = runAs();
  chmodSync(folder, 0o755);
  if (as.uid !== undefined) chownSync(folder, as.uid, as.gid);
  const data = join(folder, 'data');
  const env = { PATH: process.env.PATH, LC_ALL: 'C' };
  const init = ['-D', data, '-U', USER, '-A', 'trust', '-E', 'UTF8', '--locale=C', '-N'];
  execFileSync(join(programs, 'initdb'), init, { ...as, cwd: folder, env, stdio: 'pipe' });
  const port = await freePort();
  const url = (name: string) => `postgres://${USER}@127.0.0.1:${port}/${name}`;
  let child: ChildProcess | undefined;
  let made = 0;

  async function start(): Promise<void> {
    const settings = [`port=${port}`, 'listen_addresses=127.0.0.1', 'unix_socket_directories='];
    const small = ['shared_buffers=16MB', 'max_connections=200', 'autovacuum=off'];
    const args = ['-D', data, ...[...settings, ...small].flatMap((s) => ['-c', s])];
    const options = { ...as, cwd: folder, env, stdio: 'ignore', detached: true } as const;
    child = spawn(join(programs, 'postgres'), args, options);
    // Ends with whoever started it, however that ended.
    for (;;) {
      const client = new Client({ connectionString: url('postgres') });
      try {
        await client.connect();
        return;
      } catch {
        if (child.exitCode !== null) throw new Error(`postgres ended with ${child.exitCode}`);
        await new Promise((resolve) => setTimeout(resolve, 50));
      } finally {
        await client.end().catch(() => undefined);
      }
    }
  }

  async function stop(signal: NodeJS.Signals): Promise<void> {
    const running = child;
    child = undefined;
    if (running?.pid === undefined || running.exitCode !== null) return;
    const ended = new Promise((resolve) => running.once('close', resolve));
    // Detached, it leads a group of its own: the whole of it with SIGKILL.
    process.kill(signal === 'SIGKILL' ? -running.pid : running.pid, signal);
    await ended;
  }

  await start();
  const atExit = () => {
    if (child?.pid !== undefined) process.kill(child.pid, 'SIGQUIT');
    rmSync(folder, { recursive: true, force: true });
  };
  process.once('exit', atExit);
  // A test runner ends its workers so; what they started must not outlive them.
  for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => process.exit(1));
  return {
    port,
    start,
    kill: () => stop('SIGKILL'),
    async database() {
      const name = `d${process.pid}_${++made}`;
      const client = new Client({ connectionString: url('postgres') });
      await client.connect();
      await client.query(`CREATE SCHEMA ${name}`);
      await client.end();
      return `${url('postgres')}?options=${encodeURIComponent(`-c search_path=${name}`)}`;
    },
    async remove() {
      process.off('exit', atExit);
      await stop('SIGINT');
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

/** Backends leave the group of their server (setsid), so they are not reached by its signal; they end by themselves. */
function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const address = server.address();
      server.close(() => resolve(typeof address === 'object' ? (address?.port ?? 0) : 0));
    });
  });
}
