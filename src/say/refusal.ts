import type { RefusalCode } from './refusal-codes.ts';
import type { Button, Line, Reply } from './reply.ts';

/**
 * A request is refused, with the reason and a way out. Commands throw it and `dispatch` answers it.
 * Anything else thrown is a fault of ours and gets a reference.
 */
export class Refusal extends Error {
  readonly code: RefusalCode;
  readonly lines: readonly Line[];
  readonly buttons: readonly Button[];

  /**
   * @param lines why not, then the way out
   * @param buttons the way out as presses
   */
  constructor(code: RefusalCode, lines: readonly Line[] | string, buttons: readonly Button[] = []) {
    super(typeof lines === 'string' ? lines : 'refused');
    this.name = 'Refusal';
    this.code = code;
    this.lines = typeof lines === 'string' ? [lines] : lines;
    this.buttons = buttons;
  }

  /** The refusal as an answer, which the asker alone sees. */
  reply(): Reply {
    return {
      lines: this.lines,
      ...(this.buttons.length > 0 ? { buttons: this.buttons } : {}),
      private: true,
      refused: true,
      code: this.code,
    };
  }
}
