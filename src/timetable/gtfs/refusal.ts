/** Why a feed is refused: where in it, and the reason in a sentence. */
export interface FeedRefusal {
  file?: string;
  /** Line in the file, counted from 1, the header included. */
  line?: number;
  reason: string;
}

/** Thrown while reading; `readingFeed` turns it into a result. */
export class FeedError extends Error {
  readonly refusal: FeedRefusal;

  constructor(refusal: FeedRefusal) {
    super(sayRefusal(refusal));
    this.name = 'FeedError';
    this.refusal = refusal;
  }
}

/** What was read from a feed, or why it can't be. */
export type FeedResult<T> = { ok: true; value: T } | { ok: false; refusal: FeedRefusal };

/** Runs a reading of a feed; a refusal is a result, anything else thrown is a fault of ours. */
export async function readingFeed<T>(read: () => Promise<T>): Promise<FeedResult<T>> {
  try {
    return { ok: true, value: await read() };
  } catch (error) {
    if (error instanceof FeedError) return { ok: false, refusal: error.refusal };
    throw error;
  }
}

/** A refusal in a sentence: `stop_times.txt, line 17: …`. */
export function sayRefusal({ file, line, reason }: FeedRefusal): string {
  if (file === undefined) return reason;
  return `${file}${line === undefined ? '' : `, line ${line}`}: ${reason}`;
}
