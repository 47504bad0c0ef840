/** The page as the built program serves it: a bundler may leave out what has no effect but to throw. */
import { spawn } from 'node:child_process';
import { get } from 'node:http';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import { expect, onTestFinished, test } from 'vitest';
import { compiledRoot } from '../helpers/compiled.ts';
import { tempFolder } from '../store/help.ts';

/** Asks for a path as it stands, which `URL` would mend. */
function answer(port: string, path: string): Promise<{ status: number | undefined; body: string }> {
  return new Promise((resolve, reject) => {
    get({ host: '127.0.0.1', port, path }, (response) => {
      let body = '';
      response.on('data', (bytes) => {
        body += String(bytes);
      });
      response.on('end', () => resolve({ status: response.statusCode, body }));
    }).on('error', reject);
  });
}

test('ASVS V16.5.1: a malformed % gets the page’s own words, and nothing of the address', async () => {
  const main = join(await compiledRoot(), 'dist/src/main.js');
  const env = { PATH: process.env.PATH, TAGLINE_DATA: tempFolder(), LOG_LEVEL: 'silent' };
  const bot = spawn(process.execPath, [main], { env, stdio: ['pipe', 'pipe', 'ignore'] });
  const ended = new Promise((resolve) => bot.on('close', resolve));
  onTestFinished(async () => {
    bot.stdin.end('quit\n');
    await ended;
  });
  bot.stdin.write(
    'as mara\n/trip open name:A zone:Europe/Oslo\n/roster add name:Jonas\n/overdue link\n',
  );
  let port: string | undefined;
  for await (const line of createInterface({ input: bot.stdout })) {
    port = /http:\/\/127\.0\.0\.1:(\d+)\/t\//.exec(line)?.[1];
    if (port !== undefined) break;
  }
  for (const path of ['/%', '/t/abc/secret-token%', '/t/%zz/secret-token']) {
    const { status, body } = await answer(port as string, path);
    expect([path, status]).toEqual([path, 404]);
    expect(body).toContain('This link does not work');
    expect(body).not.toContain('secret-token');
  }
});
