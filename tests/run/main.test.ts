import { spawn } from 'node:child_process';
import { chmodSync, cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { runScript } from '../../src/run/script.ts';
import { sqlite } from '../../src/store/sqlite/driver.ts';
import { compiledMain } from '../helpers/compiled.ts';
import { ROOM } from '../helpers/room.ts';

const Database = sqlite();

/** The real process, as a user starts it. */
let main: string;
const folder = mkdtempSync(join(ROOM, 'tagline-main-'));
beforeAll(async () => {
  main = await compiledMain();
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** root may write anywhere, whatever the mode says, so what must not be written is tried by another user. */
const NOBODY = process.getuid?.() === 0 ? { uid: 65_534 } : {};

interface Ran {
  code: number | null;
  out: string;
  err: string;
}

interface Run {
  env?: Record<string, string>;
  input?: string;
  uid?: number;
  /** Sent once this has appeared on standard output. */
  signalAfter?: [text: string, signal: NodeJS.Signals];
}

function run(
  args: readonly string[],
  { env = {}, input, signalAfter, ...as }: Run = {},
): Promise<Ran> {
  return new Promise((resolve, reject) => {
    const { PATH = '' } = process.env;
    const data = { TAGLINE_DATA: join(folder, 'data'), USER: 'mara' };
    const child = spawn(process.execPath, [main, ...args], {
      cwd: folder,
      env: { PATH, ...data, ...env },
      ...as,
    });
    let [out, err] = ['', ''];
    let sent = false;
    child.stdout.on('data', (chunk: Buffer) => {
      out += chunk.toString('utf8');
      if (signalAfter === undefined || sent || !out.includes(signalAfter[0])) return;
      sent = true;
      child.kill(signalAfter[1]);
    });
    child.stderr.on('data', (chunk: Buffer) => {
      err += chunk.toString('utf8');
    });
    child.once('error', reject);
    child.once('close', (code) => resolve({ code, out, err }));
    child.stdin.write(input ?? '');
    // Whoever is to be stopped from outside waits for more.
    if (signalAfter === undefined) child.stdin.end();
  });
}

function script(name: string, text: string): string {
  writeFileSync(join(folder, name), text);
  return join(folder, name);
}

const CLIMB = `# a short one
2031-06-12 06:10  mara   /trip open name:"Harrow Tower" zone:Europe/Oslo
2031-06-12 06:12  mara   /topo edit number:1 length:38 free:6a
2031-06-12 06:12  mara   /topo edit number:2 length:30 free:6b
2031-06-12 06:13  mara   /roster add name:Mara free:6c
2031-06-12 07:00  mara   /pitch done number:1 at:-10m
2031-06-12 07:01  mara   [Undo]
2031-06-12 08:00
`;

describe('--script', () => {
  test('prints the same bytes every time, whatever the machine’s zone and language', async () => {
    const file = script('climb.txt', CLIMB);
    const first = await run(['--script', file]);
    expect(first).toMatchObject({ code: 0, err: '' });
    expect(first.out).toContain('Pitch 1 done at 06:50 (told 07:00 by Mara)');
    const env = { TZ: 'Pacific/Kiritimati', LANG: 'de_DE.UTF-8', LC_ALL: 'de_DE.UTF-8' };
    expect((await run(['--script', file], { env })).out).toBe(first.out);
  });

  test('--demo plays the demo, wherever it is started', async () => {
    const env = { TZ: 'Asia/Kathmandu' };
    const { out, err } = await run(['--demo'], { env, signalAfter: ['Topo loaded', 'SIGKILL'] });
    expect(err).toBe('');
    expect(out).toContain('Harrow Tower is open in this channel.');
  });

  test('--json gives one object a line', async () => {
    const { code, out } = await run(['--script', script('climb.txt', CLIMB), '--json']);
    expect(code).toBe(0);
    const lines = out
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line) as Record<string, unknown>);
    expect(lines).toHaveLength(6);
    expect(lines[4]).toMatchObject({
      at: '2031-06-12T07:00:00+02:00',
      kind: 'answer',
      who: 'Mara',
      refused: false,
      buttons: ['Undo', 'Change the time'],
    });
  });

  const BAD = [
    ['2031-06-12 06:10  mara   hello', 'bad.txt:1: A line begins with /'],
    [
      '# fine\n\n2031-06-12 06:10  mara   /trop open',
      'bad.txt:3: There is no /trop. Did you mean /trip?',
    ],
    ['2031-06-12 06:10 mara [Undo]', 'bad.txt:1: Mara sees no button [Undo].'],
  ] as const;

  test.each(BAD)(
    'a line that can’t be read ends it, naming file and line: %s',
    async (text, says) => {
      const played = runScript({
        file: script('bad.txt', text),
        logLevel: 'silent',
        show: () => {},
      });
      await expect(played).rejects.toThrow(says);
    },
  );

  test('and the process says it in one line', async () => {
    const [text, says] = BAD[1];
    const { code, err } = await run(['--script', script('bad.txt', text)]);
    expect(err).toContain(says);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(code).toBe(1);
  });

  test('a file that isn’t there, and an option that isn’t known', async () => {
    const gone = await run(['--script', join(folder, 'gone.txt')]);
    expect(gone).toMatchObject({ code: 1, out: '' });
    expect(gone.err).toContain('gone.txt');
    const odd = await run(['--colour']);
    expect(odd.code).toBe(1);
    expect(odd.err).toContain('--colour');
    expect(odd.err).not.toContain('    at ');
    expect((await run(['--help'])).out).toContain('npm start -- --script FILE');
  });

  test('a port that is taken ends it, and nothing goes on behind', async () => {
    const taken = createServer();
    await new Promise<void>((resolve) => taken.listen(0, '127.0.0.1', resolve));
    const port = String((taken.address() as AddressInfo).port);
    const env = { TAGLINE_HEALTH_PORT: port, TAGLINE_DATA: join(folder, 'taken') };
    const { code, err } = await run([], { env });
    expect(code).toBe(1);
    expect(err).toContain(`address already in use 127.0.0.1:${port}`);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    await new Promise((resolve) => taken.close(resolve));
  });

  test('a setting that can’t be used is named', async () => {
    const { code, err } = await run(['--demo'], { env: { LOG_LEVEL: 'loud' } });
    expect(code).toBe(1);
    expect(err).toContain('LOG_LEVEL');
  });
});

const lines = ['as mara', '/trip open name:"Harrow Tower" zone:Europe/Oslo', '/help', 'exit'];

describe('the local channel from a pipe', () => {
  test('says in two lines what it is, answers, and keeps what it was told', async () => {
    const env = { TAGLINE_DATA: join(folder, 'pipe') };
    const first = await run([], { env, input: `${lines.join('\n')}\n` });
    expect(first).toMatchObject({ code: 0, err: '' });
    expect(first.out.split('\n').slice(0, 2).join(' ')).toMatch(
      /^tagline keeps a climbing party.*\/help leads the way/,
    );
    expect(first.out).toContain('Harrow Tower is open in this channel.');
    const again = await run([], { env, input: 'as mara\n/trip show\n' });
    expect(again.out).toContain('Harrow Tower: Preparing');
    expect(again.code).toBe(0);
  });

  test.each(['SIGTERM', 'SIGINT'] as const)('%s closes it, and nothing is lost', async (signal) => {
    const env = { TAGLINE_DATA: join(folder, `stop-${signal}`) };
    const stopped = await run([], {
      env,
      input: `${lines.slice(0, 2).join('\n')}\n`,
      signalAfter: ['is open in this channel', signal],
    });
    expect(stopped).toMatchObject({ code: 0, err: '' });
    const db = new Database(join(env.TAGLINE_DATA, 'tagline.db'), { readonly: true });
    expect(db.pragma('integrity_check', { simple: true })).toBe('ok');
    expect(db.prepare('SELECT count(*) FROM event').pluck().get()).toBe(1);
    db.close();
  });
});

describe('a database that can’t be used is refused in one line, and left as it is', () => {
  const whole = join(folder, 'whole');
  beforeAll(() => run([], { env: { TAGLINE_DATA: whole }, input: lines.join('\n') }));

  function made(name: string): { path: string; env: Record<string, string> } {
    const data = join(folder, name);
    cpSync(whole, data, { recursive: true });
    return { path: join(data, 'tagline.db'), env: { TAGLINE_DATA: data } };
  }

  async function refused(
    path: string,
    env: Record<string, string>,
    as: { uid?: number } = {},
  ): Promise<string> {
    const before = readFileSync(path);
    const { code, err, out } = await run([], { env, input: '/trip show\n', ...as });
    expect(code).toBe(1);
    expect(err).toContain('tagline.db');
    expect(err).not.toContain('    at ');
    expect(out).toBe('');
    expect(readFileSync(path).equals(before)).toBe(true);
    return err;
  }

  test('of a newer release', async () => {
    const { path, env } = made('newer');
    const db = new Database(path);
    db.pragma('user_version = 999');
    db.pragma('wal_checkpoint(TRUNCATE)');
    db.close();
    expect(await refused(path, env)).toContain('was written by a newer release');
  });

  test('damaged', async () => {
    const { path, env } = made('damaged');
    const bytes = readFileSync(path);
    writeFileSync(path, bytes.fill(0xaa, 4096, 4096 * 4));
    expect(await refused(path, env)).toMatch(/is damaged|newest backup/);
  });

  test('of another program, or no database at all', async () => {
    const { path, env } = made('other');
    writeFileSync(
      path,
      'not a database, but long enough to be taken for one by its size alone\n'.repeat(99),
    );
    expect(await refused(path, env)).toContain('is not a database');
  });

  test('read-only', async () => {
    const { path, env } = made('read-only');
    chmodSync(folder, 0o755);
    chmodSync(path, 0o444);
    chmodSync(env.TAGLINE_DATA as string, 0o555);
    try {
      expect(await refused(path, env, NOBODY)).toContain('cannot be written');
    } finally {
      chmodSync(env.TAGLINE_DATA as string, 0o755);
    }
  });
});
