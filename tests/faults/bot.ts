/** The real program in a process of its own, to be killed. */
import { type ChildProcess, spawn } from 'node:child_process';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

export interface BotProcess {
  child: ChildProcess;
  /** Resolves when it has ended, however it did. */
  ended: Promise<{ code: number | null; signal: NodeJS.Signals | null; said: string }>;
}

export interface BotSettings {
  apiUrl: string;
  token: string;
  dataDir: string;
  /** Runs it under a limit on the size of files, in blocks of 1,024 bytes: a disk that is full. */
  fileBlocks?: number;
  /** A PostgreSQL database in place of the file. */
  databaseUrl?: string;
  /** Runs it as a user who owns nothing, where we may choose. */
  nobody?: boolean;
  /** Sends mail through this port of this machine. */
  mailPort?: number;
  /** Shows its health here. */
  healthPort?: number;
  /** A file with the milliseconds by which its wall clock is ahead; see jump.ts. */
  aheadFile?: string;
}

const JUMP = pathToFileURL(join(import.meta.dirname, 'jump.js')).href;
/** As `npm run build` made it; this file runs from `.bench`. */
const MAIN = join(import.meta.dirname, '../../../dist/src/main.js');

/** By custom the number of `nobody`. */
const NOBODY = 65_534;

export function startBot(settings: BotSettings): BotProcess {
  const { apiUrl, token, dataDir, fileBlocks, databaseUrl, nobody } = settings;
  const { mailPort, healthPort, aheadFile } = settings;
  const env = {
    PATH: process.env.PATH,
    DISCORD_API_URL: apiUrl,
    DISCORD_TOKEN: token,
    TAGLINE_DATA: dataDir,
    LOG_LEVEL: 'error',
    ...(databaseUrl === undefined ? {} : { TAGLINE_DATABASE_URL: databaseUrl }),
    ...(mailPort === undefined
      ? {}
      : {
          SMTP_HOST: '127.0.0.1',
          SMTP_PORT: String(mailPort),
          SMTP_TLS: 'whenOffered',
          SMTP_FROM: 'tagline <watch@example.org>',
        }),
    ...(healthPort === undefined ? {} : { TAGLINE_HEALTH_PORT: String(healthPort) }),
    ...(aheadFile === undefined ? {} : { AHEAD_FILE: aheadFile, NODE_OPTIONS: `--import=${JUMP}` }),
  };
  const as = nobody === true && process.getuid?.() === 0 ? { uid: NOBODY, gid: NOBODY } : {};
  const child =
    fileBlocks === undefined
      ? spawn(process.execPath, [MAIN], { env, ...as, stdio: ['ignore', 'ignore', 'pipe'] })
      : spawn('bash', ['-c', `ulimit -f ${fileBlocks}; exec "$0" "$1"`, process.execPath, MAIN], {
          env,
          stdio: ['ignore', 'ignore', 'pipe'],
        });
  let said = '';
  child.stderr?.on('data', (chunk: Buffer) => {
    said += chunk.toString();
  });
  const ended = new Promise<Awaited<BotProcess['ended']>>((resolve) => {
    child.once('close', (code, signal) => resolve({ code, signal, said }));
  });
  return { child, ended };
}

/** Ends it the hard way; rejects when it had ended by itself. */
export async function kill(bot: BotProcess): Promise<void> {
  bot.child.kill('SIGKILL');
  const { signal, code, said } = await bot.ended;
  if (signal !== 'SIGKILL') throw new Error(`ended by itself with ${code}: ${said}`);
}

/** Ends it as an operator would. */
export async function stop(bot: BotProcess): Promise<void> {
  bot.child.kill('SIGTERM');
  const { code, said } = await bot.ended;
  if (code !== 0) throw new Error(`stopped with ${code}: ${said}`);
}
