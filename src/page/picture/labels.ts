import { textWidth } from './letters.ts';

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** A line of text that has its place; `x` is where it starts, ends or has its middle by `anchor`. */
export interface Label {
  /** What it belongs to, for tests and for who reads the drawing. */
  role: string;
  text: string;
  x: number;
  /** Baseline. */
  y: number;
  anchor: 'start' | 'middle' | 'end';
  size: number;
  bold: boolean;
  tone: 'ink' | 'quiet' | 'mark' | 'ground';
  /** Filled box behind it. */
  tag?: boolean;
}

const ASCENT = 0.78;
const DESCENT = 0.24;
const TAG_PAD = 3;

/** The box a label takes, its tag included. */
export function boxOf(label: Label): Box {
  const width = textWidth(label.text, label.size, label.bold);
  const left =
    label.anchor === 'start'
      ? label.x
      : label.anchor === 'end'
        ? label.x - width
        : label.x - width / 2;
  const pad = label.tag === true ? TAG_PAD : 0;
  return {
    x: left - pad,
    y: label.y - label.size * ASCENT - pad / 2,
    width: width + 2 * pad,
    height: label.size * (ASCENT + DESCENT) + pad,
  };
}

/** Whether two boxes come closer than `gap`. */
export function overlaps(a: Box, b: Box, gap = 0): boolean {
  return (
    a.x < b.x + b.width + gap &&
    b.x < a.x + a.width + gap &&
    a.y < b.y + b.height + gap &&
    b.y < a.y + a.height + gap
  );
}

/** Takes labels in order of rank and keeps those that have room; `place` returns where one could go. */
export class Sheet {
  readonly labels: Label[] = [];
  readonly #taken: Box[] = [];
  readonly #bounds: Box;

  constructor(bounds: Box) {
    this.#bounds = bounds;
  }

  /** Room that no label may use. */
  block(box: Box): void {
    this.#taken.push(box);
  }

  /** The first of the places where it touches nothing; false when there is none. */
  place(candidates: readonly Label[], gap = 2): boolean {
    const label = candidates.find((candidate) => this.#free(boxOf(candidate), gap));
    if (label === undefined) return false;
    this.labels.push(label);
    this.#taken.push(boxOf(label));
    return true;
  }

  #free(box: Box, gap: number): boolean {
    const inside =
      box.x >= this.#bounds.x &&
      box.y >= this.#bounds.y &&
      box.x + box.width <= this.#bounds.x + this.#bounds.width &&
      box.y + box.height <= this.#bounds.y + this.#bounds.height;
    return inside && !this.#taken.some((other) => overlaps(box, other, gap));
  }
}
