import { connect } from 'node:net';
import { expect, onTestFinished, test } from 'vitest';
import { openListener } from '../../../src/page/server/listener.ts';

/** What comes back on a connection until it ends, after something was sent. */
function until(port: string, sent: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), '127.0.0.1');
    let heard = '';
    socket.on('data', (bytes) => {
      heard += String(bytes);
    });
    socket.on('error', (error: NodeJS.ErrnoException) =>
      error.code === 'ECONNRESET' ? resolve(heard) : reject(error),
    );
    socket.on('close', () => resolve(heard));
    if (sent !== '') socket.write(sent);
  });
}

async function listening() {
  const listener = await openListener('127.0.0.1', 0, 30);
  onTestFinished(() => listener.close());
  return new URL(listener.url).port;
}

/** Each of these ends only because the connection is ended: the test waits for that and for nothing else. */
test.each([
  ['says nothing', ''],
  ['begins a request and stops', 'GET /t/a/b HTTP/1.1\r\nHost: x\r\n'],
  [
    'announces a body that doesn’t come',
    'POST /x HTTP/1.1\r\nHost: x\r\nContent-Length: 9\r\n\r\n',
  ],
])('ASVS V2.4.1: a connection that %s is ended', async (_, sent) => {
  expect(await until(await listening(), sent)).toMatch(/^$|^HTTP\/1\.1 (408|503) /);
});

test('what is not HTTP gets no answer', async () => {
  expect(await until(await listening(), 'HELLO secret-token\r\n\r\n')).toBe('');
});
