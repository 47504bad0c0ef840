import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { commands } from '../../../commands/index.ts';
import { commandNear, meaning } from '../../../src/chat/local/plain-words.ts';

const mean = (line: string) => meaning(line, commands, ['Undo', 'Change the time']);

describe('what a newcomer types', () => {
  it.each([
    ...[
      'hello',
      'Hello!',
      'hi',
      'hallo',
      'hi there',
      'help',
      'HELP',
      'help me',
      '?',
      '/?',
      'start',
    ],
    ...['/start', '/hello', '--help', '-h', 'what now?', 'how do I begin?', '???'],
  ])('%j leads to /help', (line) => {
    expect(mean(line)).toEqual({ line: '/help' });
  });

  it.each([
    ['help topout', '/help about:"topout"'],
    ['/help topout', '/help about:"topout"'],
    ['help /trip open', '/help about:"trip open"'],
    ['? pitch', '/help about:"pitch"'],
    ['help about:topo', '/help about:topo'],
    ['/help about:topo', '/help about:topo'],
    ['topout', '/topout'],
    ['trip open name:"Our wall" zone:Oslo', '/trip open name:"Our wall" zone:Oslo'],
    ['Pitch done number:4', '/Pitch done number:4'],
    ['undo', '[undo]'],
    ['change the time', '[change the time]'],
  ])('%j means %s', (line, means) => {
    expect(mean(line)).toEqual({ line: means });
  });

  it.each(['exit', 'quit', 'Quit', 'EXIT', '/exit', '/quit', 'bye', 'q', ':q', 'exit.'])(
    '%j leaves',
    (line) => {
      expect(mean(line)).toEqual({ leave: true });
    },
  );

  it.each([
    '/pitch done',
    '[Undo]',
    '[help]',
    'we are fine',
    'exit the wall',
    '/nothing',
    'tpoout',
  ])('%j is read as it stands', (line) => {
    expect(mean(line)).toBeUndefined();
  });

  it('knows the command that was nearly typed', () => {
    expect(commandNear('topuot details:yes', commands)).toBe('topout');
    expect(commandNear('we are fine', commands)).toBeUndefined();
  });

  it('never fails, and never takes a command or a button for something else', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        mean(text);
        expect(mean(`[${text}`)).toBeUndefined();
        const pitch = mean(`/pitch ${text}`);
        expect(pitch).toBeUndefined();
      }),
    );
  });
});
