import type { Button, Line, Reply } from './reply.ts';

/**
 * A rule says no: with the reason and a way out, never only "invalid". Thrown by use cases and
 * answered by the router; anything else thrown is a fault of ours and gets a reference.
 */
export class Refusal extends Error {
  readonly lines: readonly Line[];
  readonly buttons: readonly Button[];

  constructor(lines: readonly Line[] | string, buttons: readonly Button[] = []) {
    super(typeof lines === 'string' ? lines : 'refused');
    this.name = 'Refusal';
    this.lines = typeof lines === 'string' ? [lines] : lines;
    this.buttons = buttons;
  }

  reply(): Reply {
    return {
      lines: this.lines,
      ...(this.buttons.length > 0 ? { buttons: this.buttons } : {}),
      private: true,
      refused: true,
    };
  }
}
