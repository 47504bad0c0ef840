/** What somebody wrote of what they heard on the radio, as far as it can be told from the words alone. */
export interface Relayed {
  what: 'done' | 'fixed' | 'start' | 'ok';
  pitch?: number;
  /** As it stands there: `14:32`. */
  at?: string;
}

const TIME = /(?<![\d:.])([01]?\d|2[0-3])[:.h]([0-5]\d)(?![\d:])/u;

/**
 * Reads a relay's message for a form that the person still looks over: it guesses and decides nothing.
 * A number is a pitch when it is called one, or when it is the only one that is no time.
 */
export function readRelayed(text: string): Relayed {
  const time = TIME.exec(text);
  const rest = time === null ? text : text.replace(time[0], ' ');
  const named = /\b(?:p|pitch|no)\.?\s*(\d{1,3})\b/iu.exec(rest);
  const numbers = rest.match(/(?<![\w-])\d{1,3}(?![\w:%])/gu) ?? [];
  const pitch = named?.[1] ?? (numbers.length === 1 ? numbers[0] : undefined);
  return {
    what: whatOf(rest, pitch !== undefined),
    ...(pitch === undefined ? {} : { pitch: Number(pitch) }),
    ...(time === null ? {} : { at: `${(time[1] ?? '').padStart(2, '0')}:${time[2]}` }),
  };
}

function whatOf(text: string, hasPitch: boolean): Relayed['what'] {
  if (!hasPitch) return 'ok';
  if (/\bfix(?:ed|ing)?\b/iu.test(text)) return 'fixed';
  if (/\b(?:start(?:ed|ing|s)?|begins?|began|begun|leading|off on)\b/iu.test(text)) return 'start';
  return 'done';
}
