import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseCommand, Unreadable } from '../../../src/chat/local/parse-command.ts';
import { quoteValue, splitWords } from '../../../src/chat/local/words.ts';
import { editDistance } from '../../../src/say/near.ts';
import { folders } from '../../helpers/folders.ts';
import { fakeCommands } from '../fake-commands.ts';

const newFolder = folders();

const commands = fakeCommands([]);
const folder = newFolder();
writeFileSync(join(folder, 'topo.csv'), 'pitch,length\n1,38\n');

async function parse(line: string) {
  const split = splitWords(line);
  if (!split.ok) throw new Unreadable(split.problem);
  return parseCommand(commands, split.words, folder);
}

const problem = (line: string) =>
  parse(line).then(
    () => 'read',
    (error: unknown) => (error instanceof Unreadable ? error.lines.join(' ') : String(error)),
  );

describe('a typed command', () => {
  it('gives every option the value its type wants', async () => {
    const { path, raw } = await parse(
      '/echo all text:"say \\"hi\\"" count:5 ratio:-1.5 sure:no who:pål units:Metres file:topo.csv',
    );
    expect(path).toBe('echo all');
    expect(raw).toMatchObject({
      text: 'say "hi"',
      count: 5,
      ratio: -1.5,
      sure: false,
      who: { id: 'local:pål', name: 'Pål' },
      units: 'm',
      file: { name: 'topo.csv', size: 18 },
    });
  });

  it('reads a file up to the size the command allows', async () => {
    const { raw } = await parse('/echo all text:x file:topo.csv');
    const file = raw.file as { bytes(max: number): Promise<Uint8Array> };
    expect(new TextDecoder().decode(await file.bytes(18))).toBe('pitch,length\n1,38\n');
    await expect(file.bytes(17)).rejects.toThrow('topo.csv is too large: at most 17 bytes');
  });

  it('takes a time with a colon as a value', async () => {
    expect((await parse('/post done number:5 at:14:10')).raw).toEqual({ number: 5, at: '14:10' });
  });

  it.each([
    ['/pist', 'Did you mean /post?'],
    ['/xyzzy', 'There is no /xyzzy. /help leads the way.'],
    ['/post', 'There is: /post done, /post undo'],
    ['/post dnoe', 'Did you mean /post done?'],
    ['/post done nummer:5', 'Did you mean number?'],
    ['/post done nummer:5', 'Options of /post done: number: (needed), at:.'],
    ['/post done 5', '"5" stands alone.'],
    ['/post done number:5 at:10m ago', '"ago" stands alone.'],
    ['/post done number:five', 'number: "five" is not a number.'],
    ['/post done number:5 number:6', 'number is given twice.'],
    ['/post done number:5 at:"10m', "don't end"],
    ['/echo all sure:maybe', 'sure: "maybe" is not yes or no.'],
    ['/echo all who:"7 x"', 'who: "7 x" is not a name.'],
    ['/echo all file:none.csv', 'there is no file none.csv here'],
    ['/echo all token:x', 'has no option token'],
    ['/help me', 'takes no options'],
  ])('says kindly what is wrong with %s', async (line, words) => {
    expect(await problem(line)).toContain(words);
  });

  it('reads back whatever value it quotes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (value) => {
        const typed = value.replace(/[\r\u2028\u2029]/gu, ' ');
        const split = splitWords(`/x a:${quoteValue(typed)} b:1`);
        expect(split.ok && split.words[1]?.value).toBe(typed);
        expect(split.ok && split.words.length).toBe(3);
      }),
    );
  });
});

// Optimal string alignment: the textbook definition, computed here by plain recursion.
describe('the distance between two words', () => {
  const slow = (a: string, b: string): number => {
    if (a === '' || b === '') return a.length + b.length;
    const change = a.at(-1) === b.at(-1) ? 0 : 1;
    const least = Math.min(
      slow(a.slice(0, -1), b) + 1,
      slow(a, b.slice(0, -1)) + 1,
      slow(a.slice(0, -1), b.slice(0, -1)) + change,
    );
    const swapped = a.length > 1 && b.length > 1 && a.at(-1) === b.at(-2) && a.at(-2) === b.at(-1);
    return swapped ? Math.min(least, slow(a.slice(0, -2), b.slice(0, -2)) + 1) : least;
  };

  it('is the one of the definition', () => {
    const word = fc.string({ unit: fc.constantFrom('a', 'b', 'c'), maxLength: 5 });
    fc.assert(fc.property(word, word, (a, b) => editDistance(a, b) === slow(a, b)));
  });
});
