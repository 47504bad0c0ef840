import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { PassThrough } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { localWays } from '../../../src/chat/local/deliver.ts';
import { Terminal } from '../../../src/chat/local/terminal.ts';
import { ROOM } from '../../helpers/room.ts';
import { type World, world } from '../../helpers/world.ts';

let w: World;
let dataDir: string;
beforeEach(async () => {
  w = await world();
  dataDir = mkdtempSync(join(ROOM, 'tagline-first-'));
});
afterEach(async () => {
  await w.close();
  rmSync(dataDir, { recursive: true, force: true });
});

function open(options: { zone?: string; tty?: boolean; columns?: number } = {}) {
  const input = new PassThrough();
  const output = Object.assign(new PassThrough(), {
    isTTY: options.tty === true,
    columns: options.columns ?? 80,
  });
  const terminal = new Terminal({
    app: w.app,
    input,
    output,
    dataDir,
    folder: w.folder,
    speaker: 'mara',
    zone: options.zone ?? 'America/New_York',
    noColor: '1',
  });
  return { terminal, input, shown: () => String(output.read() ?? '') };
}

async function typed(...lines: string[]): Promise<string> {
  const { terminal, input, shown } = open();
  input.end(`${lines.join('\n')}\n`);
  await terminal.done;
  return shown();
}

describe('the first minutes', () => {
  it.each(['hello', 'help', '?', 'how does this work?'])(
    '%s is answered with the way on',
    async (said) => {
      const shown = await typed(said);
      expect(shown).toContain('No trip is open here. It goes like this:');
      // Two lines of greeting, then an answer that fits one small screen.
      expect(shown.split('\n').length).toBeLessThan(24);
    },
  );

  it('a command without its slash is carried out, a nearly right one named', async () => {
    const shown = await typed('trip open name:Wall zone:oslo', 'topuot', 'quit', '/help');
    expect(shown).toContain('Wall is open in this channel.');
    expect(shown).toContain('A line begins with / for a command');
    expect(shown).toContain('Did you mean /topout?');
    expect(shown).not.toContain('Mara> /help');
  });

  it('several zones are asked back, and a form asks for the name', async () => {
    const shown = await typed('/trip open zone:MST', '[Name it]', 'x', 'exit');
    expect(shown).toContain('MST may mean several zones: America/Denver');
    await typed('/trip open zone:Oslo', 'name it', 'Harrow Tower', 'exit');
    expect((await w.trip()).state).toMatchObject({ name: 'Harrow Tower', zone: 'Europe/Oslo' });
  });

  it('exit leaves a form first, and nothing is done', async () => {
    const shown = await typed('/trip open zone:Oslo', '[Name it]', 'exit', 'help', 'exit', 'help');
    expect(shown).toContain('Left; nothing was done.');
    expect(shown.match(/No trip is open here/g)).toHaveLength(1);
  });

  it('a terminal that doesn’t know its width is taken for one of 80 columns', async () => {
    const { terminal, input, shown } = open({ columns: 0 });
    input.end('help\n');
    await terminal.done;
    expect(shown()).toContain('No trip is open here. It goes like this:\n');
  });

  it('as without a name says who speaks', async () => {
    expect(await typed('as', 'As greta')).toMatch(/Mara speaks\..*\n.*\nGreta speaks now\./);
  });
});

describe('whose time it is', () => {
  const envelope = (trip: string) => ({
    message: { subject: 'Overdue', lines: ['Overdue.'] },
    trip,
    nonce: 'n1',
    nowMs: w.clock.wallMs(),
  });

  it.each([
    ['America/New_York', '06:10 Europe/Oslo  to the channel\n'],
    ['Europe/Oslo', '06:10  to the channel\n'],
    ['Europe/Paris', '06:10  to the channel\n'],
  ])('with the machine in %s, a notice is stamped with the wall’s time', async (zone, stamp) => {
    await w.say('mara', '/trip open name:Wall zone:Europe/Oslo');
    const { id } = (await w.trip()).row;
    const { terminal, input, shown } = open({ zone });
    const ways = localWays(terminal.channel);
    await ways.channel?.('local:main', envelope(id));
    await ways.email?.({ address: 'dana@example.org', name: 'Dana' }, envelope(id));
    input.end();
    await terminal.done;
    const out = shown();
    expect(out).toContain(stamp);
    expect(out).toContain(stamp.replace('the channel', 'Dana (e-mail)'));
  });

  it('a notice about a trip that can’t be found is shown all the same', async () => {
    const { terminal, input, shown } = open();
    const ways = localWays(terminal.channel);
    expect(await ways.channel?.('local:main', envelope('gone'))).toMatchObject({ ok: true });
    input.end();
    await terminal.done;
    expect(shown()).toContain('00:10  to the channel\nOverdue.');
  });
});

describe('a folder that can’t be written', () => {
  it('is said of a file that an answer brings, and the answer stands', async () => {
    // A file where the folder should be refuses root as well.
    writeFileSync(join(dataDir, 'files'), '');
    const shown = await typed('/trip open name:Wall zone:Oslo', '/log export');
    expect(shown.replace(/\n\s*/gu, ' ')).toMatch(
      /File \S+ \([^)]*not saved, as \S+ can't be used/,
    );
    expect(shown).not.toContain('    at ');
  });

  it('is said of the history, once, and the conversation ends well', async () => {
    mkdirSync(join(dataDir, 'history'));
    const { terminal, input, shown } = open({ tty: true });
    input.write('/help\r');
    input.write('\u0004');
    await terminal.done;
    const out = shown();
    expect(out.match(/The lines you type aren't kept/g)).toHaveLength(1);
    expect(out).toContain('No trip is open here.');
  });
});
