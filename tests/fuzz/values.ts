import type { OptionDef, RawValue } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import { TOPO } from '../helpers/world.ts';
import { departed, record, secondsApart } from '../hostile/files.ts';

/** Draws, the same for the same seed. */
export class Draws {
  #state: number;

  constructor(seed: number) {
    this.#state = seed >>> 0;
  }

  /** 0 to 1, without 1 (mulberry32). */
  next(): number {
    this.#state = (this.#state + 0x6d2b79f5) >>> 0;
    let t = this.#state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  }

  below(n: number): number {
    return Math.floor(this.next() * n);
  }

  of<T>(all: readonly T[]): T {
    return all[this.below(all.length)] as T;
  }
}

/** What people type, and what nobody does. */
const TIMES = [
  ...['now', '14:32', '-20m', '+2h', 'tomorrow 06:00', 'yesterday 22:40', 'fri 12:00', 'noon'],
  ...['+99999999999999999999m', '-99999999999999999999m', `+${'9'.repeat(38)}`, '+400d', '-31d'],
  ...['0000-01-01 00:00', '9999-12-31 23:59', '1900-01-01 00:00+14:00', '2200-12-31 23:59-12:00'],
  ...['2031-02-30 12:00', '31 Feb 12:00', '25:61', '24:00', '2031-06-12T06:00:00.999999999Z'],
  ...[
    '1 Jan 0001 00:00',
    '1 Jan 1900 00:00',
    '31 Dec 2200 23:59',
    '2031-03-30 02:30',
    '+0m',
    '-0m',
  ],
];
const WORDS = [
  ...['Mara', 'mara', 'Jonas', 'Dana', 'Greta', 'nobody', 'p1', 'self', 'Pål', 'c1', '1-8', '5,8'],
  ...['', ' ', '0', '-1', '1e309', 'null', '__proto__', 'constructor', 'toString', 'valueOf'],
  ...['@everyone', '<@1>', '<t:0>', '`', '\\', '"', "'; --", '\u0000', '\u202e', '\ud800', '😀😀'],
  ...['first 06:20, last 18:40, every 20 min', 'every 1 min', '00:00-23:59 every 1 min', 'hourly'],
  ...['12 Jun', '2031-06-12', '0000-00-00', '9999-99-99', '62.1', '999', 'Europe/Oslo', 'Oslo'],
  ...['6c', 'A3', '5.10d', 'VII-', '90 min', '99999999999999h', 'over', 'none', 'all', 'off'],
  ...['dana@example.org', '+47 000 00 000', '112', '06:30', '600', '24:00', 'https://example.org'],
];
const LENGTHS = [1, 2, 40, 41, 60, 61, 100, 300, 301, 1000, 1001, 6000];
const NUMBERS = [
  ...[0, -0, 1, -1, 0.5, 2, 3, 8, 24, 90, 1e3, 1e9, -1e9, 2 ** 31, 2 ** 53, 1e308, -1e308],
  ...[Number.NaN, Number.POSITIVE_INFINITY, Number.MIN_VALUE],
];

/** A file in memory, as a chat hands it over. */
function file(name: string, content: string | Uint8Array): RawValue {
  const bytes = typeof content === 'string' ? new TextEncoder().encode(content) : content;
  return {
    name,
    size: bytes.length,
    bytes: async (most) => {
      if (bytes.length > most) throw new Refusal('file-too-large', 'too large');
      return bytes;
    },
  };
}

const FILES: readonly (() => RawValue)[] = [
  () => file('topo.csv', TOPO),
  () => file('empty.csv', ''),
  () =>
    file(
      'noise.bin',
      Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256),
    ),
  () => file('x'.repeat(500), 'pitch,length_m\n1,1e9\n'),
  () => file('quote.csv', `"a\n${'"a\n'.repeat(20_000)}`),
  () => file('wide.csv', `${'pitch,'.repeat(20_000)}length_m\n1,1\n`),
  () => file('feed.zip', secondsApart()),
  () => file('old.jsonl', record(departed('1900-06-01T00:00:00Z'))),
  () => file('year0.jsonl', record(departed('0000-06-01T00:00:00Z'))),
  () => file('lines.jsonl', '{}\n'.repeat(60_000)),
  () => file('deep.jsonl', `{"a":${'['.repeat(5000)}${']'.repeat(5000)}}\n`),
  () => file('proto.jsonl', '{"__proto__":{"seq":1},"seq":1}\n'),
];

const PEOPLE = [
  { id: '900000000000000001', name: 'Mara' },
  { id: '900000000000000007', name: '@everyone <@2>' },
  { id: '', name: '' },
];

/** A value for an option: mostly one that fits it, now and then one that can't. */
export function valueFor(def: OptionDef, draws: Draws): RawValue {
  if ('choices' in def && def.choices !== undefined && draws.next() < 0.9) {
    return draws.of(def.choices).value;
  }
  switch (draws.next() < 0.02 ? draws.of(['string', 'number', 'boolean'] as const) : def.type) {
    case 'string':
      return text(draws);
    case 'integer':
    case 'number':
      return number(def, draws);
    case 'boolean':
      return draws.next() < 0.5;
    case 'user':
      return draws.of(PEOPLE);
    case 'file':
      return draws.of(FILES)();
  }
}

function text(draws: Draws): string {
  const kind = draws.next();
  if (kind < 0.4) return draws.of(TIMES);
  if (kind < 0.9) return draws.of(WORDS);
  return draws.of(['x', '9', '@', '😀', ' a', '<', '\n']).repeat(draws.of(LENGTHS));
}

function number(def: OptionDef, draws: Draws): number {
  const { min = 0, max = 100 } = def as { min?: number; max?: number };
  const inside = min + draws.below(Math.min(max - min, 1000) + 1);
  return draws.next() < 0.7 ? inside : draws.of([min, max, min - 1, max + 1, ...NUMBERS]);
}
