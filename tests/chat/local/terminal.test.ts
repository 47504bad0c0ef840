import { readFileSync, statSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { describe, expect, it } from 'vitest';
import { completions } from '../../../src/chat/local/complete.ts';
import { readHistory, writeHistory } from '../../../src/chat/local/history.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { Terminal } from '../../../src/chat/local/terminal.ts';
import { folders } from '../../helpers/folders.ts';
import { chatStore, fakeWorld } from '../fakes.ts';

const newFolder = folders();

function open(options: { tty?: boolean; noColor?: string; hold?: () => Promise<void> } = {}) {
  const dataDir = newFolder();
  const store = chatStore([{ id: 'trip0001', channel: 'local:main' }]);
  const world = fakeWorld(new ScriptClock(Date.UTC(2031, 5, 12, 12, 0)), options.hold, store);
  const input = new PassThrough();
  const output = Object.assign(new PassThrough(), { isTTY: options.tty === true, columns: 60 });
  const terminal = new Terminal({
    app: world.app,
    input,
    output,
    dataDir,
    folder: dataDir,
    speaker: 'mara',
    zone: 'Europe/Oslo',
    noColor: options.noColor,
  });
  const shown = () => String(output.read() ?? '');
  return { terminal, input, shown, dataDir, ...world };
}

describe('the local channel, fed from a pipe', () => {
  it('says what it is in two lines, answers, and ends with the input', async () => {
    const { terminal, input, shown } = open();
    input.end('/help\nas greta\n/post done number:4 at:14:10\n[undo]\n');
    await terminal.done;
    expect(shown().split('\n')).toEqual([
      "tagline keeps a climbing party's trip. Local channel: messages are shown here.",
      '/help leads the way. Tab completes, "as greta" changes who speaks, "exit" ends.',
      'Mara> /help',
      'Type ',
      'Then: /echo all text:"hello"',
      '',
      'Mara> as greta',
      'Greta speaks now.',
      'Greta> /post done number:4 at:14:10',
      'Pitch 4 done at 14:10.',
      '[Undo] [Change the time]',
      '',
      'Greta> [undo]',
      'Struck p4.',
      '',
      '',
    ]);
  });

  it('asks for what a form asks for', async () => {
    const { terminal, input, shown, calls } = open();
    input.end('/post done number:4\n[Change the time]\n14:05\nexit\n/help\n');
    await terminal.done;
    expect(calls.at(-1)?.args).toEqual({ number: 4, at: '14:05' });
    expect(shown()).toContain('When was it? Time (14:10 or 20m ago): 14:05\n');
  });

  it('says kindly what it could not read and goes on', async () => {
    const { terminal, input, shown } = open();
    input.end('nonsense\n/post dnoe\nas 7up\n[Nothing]\n/echo fail\n/help\n');
    await terminal.done;
    const text = shown();
    expect(text).toContain('A line begins with / for a command');
    expect(text).toContain('Did you mean /post done?');
    expect(text).toContain('"7up" is not a name.');
    expect(text).toContain('Mara sees no button [Nothing].');
    expect(text).toMatch(/nothing was changed\.\n {2}Reference R002/u);
    expect(text).toContain('Then: /echo all');
  });

  it('saves the files an answer brings and says where', async () => {
    const { terminal, input, shown, dataDir } = open();
    input.end('/post board\n');
    await terminal.done;
    const saved = join(dataDir, 'files', 'trip0001', 'board.txt');
    expect(readFileSync(saved, 'utf8')).toBe('board');
    expect(shown().replace(/\n\s*/gu, '')).toContain('board.txt');
  });

  it('shows notices, and finishes what is under way when it is closed', async () => {
    let release = () => {};
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    const { terminal, input, shown, calls } = open({ hold: () => held });
    await terminal.channel.notify({ reply: { lines: ['Overdue.'] }, by: 'channel' });
    input.write('/echo slow\n');
    while (calls.length === 0) await new Promise((resolve) => setImmediate(resolve));
    const closed = terminal.close();
    release();
    await closed;
    expect(shown()).toContain('14:00  to the channel\nOverdue.\n');
    expect(shown()).toBe('');
  });
});

describe('the local channel, in a terminal', () => {
  it('keeps a history for its owner only', async () => {
    const { terminal, input, dataDir } = open({ tty: true });
    input.write('/help\r');
    input.write('/echo secret\r');
    input.write('\u0004');
    await terminal.done;
    expect(readHistory(join(dataDir, 'history'))).toEqual(['/echo secret', '/help']);
    expect(statSync(join(dataDir, 'history')).mode & 0o777).toBe(0o600);
  });

  it('leaves on Ctrl-C', async () => {
    const { terminal, input, shown, dataDir } = open({ tty: true });
    input.write('/hel\u0003');
    await terminal.done;
    expect(shown()).not.toContain('Then:');
    expect(readHistory(join(dataDir, 'history'))).toEqual([]);
  });

  it.each([
    [undefined, true],
    ['1', false],
  ])('with NO_COLOR as %s, bold type is %s', async (noColor, bold) => {
    const { terminal, input, shown } = open({ tty: true, ...(noColor && { noColor }) });
    input.write('/help\r');
    input.write('\u0004');
    await terminal.done;
    expect(shown().includes('\u001b[1m')).toBe(bold);
  });

  it('completes a line on Tab', async () => {
    const { terminal, input, shown, calls } = open({ tty: true });
    let text = '';
    for (const [keys, completed] of [
      ['/po\t', '/post '],
      ['do\t', 'done '],
      ['num\t', 'number:'],
    ] as const) {
      input.write(keys);
      while (!text.includes(completed)) {
        await new Promise((resolve) => setImmediate(resolve));
        text += shown();
      }
    }
    input.write('7\r');
    while (calls.length === 0) await new Promise((resolve) => setImmediate(resolve));
    input.write('\u0004');
    await terminal.done;
    expect(calls[0]?.args).toEqual({ number: 7 });
  });
});

describe('completion', () => {
  const dataDir = newFolder();
  writeFileSync(join(dataDir, 'my topo.csv'), '');
  const { app } = fakeWorld(new ScriptClock(0), undefined, chatStore());
  const complete = (line: string) =>
    completions({
      app,
      line,
      folder: dataDir,
      labels: ['Undo', 'Change the time'],
      people: ['Mara', 'Greta'],
      call: {
        id: 'c',
        atMs: 0,
        actor: { id: 'local:mara', name: 'Mara' },
        where: { channel: 'local:main', direct: false },
      },
    });

  it.each([
    ['/', ['/help ', '/echo ', '/post '], '/'],
    ['/ec', ['/echo '], '/ec'],
    ['/post ', ['done ', 'undo ', 'board ', 'long '], ''],
    ['/post d', ['done '], 'd'],
    ['/post done ', ['number:', 'at:'], ''],
    ['/post done at:x n', ['number:'], 'n'],
    ['/echo all tok', [], 'tok'],
    ['/echo all units:', ['units:ft ', 'units:m '], 'units:'],
    ['/echo all units:f', ['units:ft '], 'units:f'],
    ['/echo all pitch:1', ['pitch:1 ', 'pitch:10 ', 'pitch:11 '], 'pitch:1'],
    ['/echo all sure:y', ['sure:yes '], 'sure:y'],
    ['/echo all who:g', ['who:Greta '], 'who:g'],
    ['/echo all file:"my t', ['file:"my topo.csv" '], 'file:"my t'],
    ['/echo all file:my', ['file:"my topo.csv" '], 'file:my'],
    ['[ch', ['[Change the time]'], '[ch'],
    ['as gr', ['Greta'], 'gr'],
    ['/nothing x', [], 'x'],
    ['hello', [], 'hello'],
  ])('of %j', async (line, hits, replaces) => {
    expect(await complete(line)).toEqual([hits, replaces]);
  });
});

describe('history', () => {
  it('is newest first in memory and oldest first in the file', () => {
    const file = join(newFolder(), 'sub', 'history');
    expect(readHistory(file)).toEqual([]);
    writeHistory(file, ['b', 'a']);
    expect(readFileSync(file, 'utf8')).toBe('a\nb\n');
    expect(readHistory(file)).toEqual(['b', 'a']);
  });
});
