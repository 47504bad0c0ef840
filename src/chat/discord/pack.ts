import { CONTENT_MAX } from './limits.ts';

/** Lines that may stand in a code block; a group stays together and the head is said again. */
export interface Block {
  code: boolean;
  head: readonly string[];
  groups: readonly (readonly string[])[];
}

const FENCE = '```';

/**
 * Blocks laid into messages of at most 2000 characters, broken between lines only. Undefined when
 * that takes more than `maxMessages` or a single line is too long.
 */
export function pack(blocks: readonly Block[], maxMessages: number): string[] | undefined {
  const messages: string[] = [];
  let done: string[] = [];
  for (const block of blocks) {
    let open: string[] = [];
    for (const group of block.groups) {
      if (done.length + open.length > 0 && size(done, block, [...open, ...group]) > CONTENT_MAX) {
        messages.push(join(done, block, open));
        if (messages.length >= maxMessages) return undefined;
        done = [];
        open = [];
      }
      if (size([], block, group) > CONTENT_MAX) return undefined;
      open.push(...group);
    }
    done = [...done, ...closed(block, open)];
  }
  return [...messages, done.join('\n')];
}

/** As many whole lines as fit in `max` characters. */
export function firstLines(lines: readonly string[], max: number): string[] {
  let length = 0;
  const end = lines.findIndex((line) => {
    length += line.length + 1;
    return length > max;
  });
  return end < 0 ? [...lines] : lines.slice(0, end);
}

function size(done: readonly string[], block: Block, open: readonly string[]): number {
  return join(done, block, open).length;
}

function join(done: readonly string[], block: Block, open: readonly string[]): string {
  return [...done, ...closed(block, open)].join('\n');
}

function closed(block: Block, open: readonly string[]): string[] {
  if (open.length === 0) return [];
  return block.code ? [FENCE, ...block.head, ...open, FENCE] : [...open];
}
