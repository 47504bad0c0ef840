/**
 * How often something may be asked on a chat that strangers can reach.
 * OWASP ASVS 5.0: V2.4.1 (no overuse of costly resources), V2.1.3 and V2.3.2 (limits per person and for all,
 * documented and held), V5.2.4 (files per user).
 */
import { describe, expect, test } from 'vitest';
import { commands } from '../../commands/index.ts';
import { type Call, findSub, type Sub } from '../../src/app/command.ts';
import { Rates } from '../../src/app/rates.ts';
import { RATES } from '../../src/limits.ts';

const NOW = Date.parse('2031-06-12T06:00:00Z');
const call = (more: Partial<Call> & { user?: string; guild?: string } = {}): Call => ({
  id: 'i',
  atMs: more.atMs ?? NOW,
  actor: { id: more.user ?? 'mallory', name: 'Mallory' },
  where: { channel: 'c', direct: false, guild: more.guild ?? 'g' },
});
const subOf = (path: string) => findSub(commands, path) as Sub;
const count = (rates: Rates, path: string, of: (i: number) => Call, tries: number) =>
  Array.from({ length: tries }, (_, i) => rates.refusal(subOf(path), of(i))).filter(
    (refused) => refused === undefined,
  ).length;

describe('ASVS V2.1.3, V2.3.2, V2.4.1, V2.4.2, V5.2.4: limits', () => {
  test('one stranger opens no 2,000 trips, and many strangers none on one server', () => {
    const rates = new Rates();
    const later = (i: number) => NOW + i * 2000;
    expect(count(rates, 'trip open', (i) => call({ atMs: later(i) }), 2000)).toBe(
      RATES.opened.most,
    );
    const many = (i: number) => call({ user: `m${i}`, atMs: later(i) });
    expect(count(new Rates(), 'trip open', many, 2000)).toBe(RATES.openedHere.most);
  });

  test('a loop is told when to go on, kindly, and goes on then', () => {
    const rates = new Rates();
    expect(count(rates, 'help', () => call(), 500)).toBe(RATES.command.most);
    const refused = rates.refusal(subOf('help'), call({ atMs: NOW + 40_000 }));
    expect(refused?.reply().lines).toEqual([
      '60 commands within a minute are as many as tagline takes; go on in 20 s.',
      'Signs of life, trouble, the way down and answers to an alarm always go in.',
    ]);
    expect(rates.refusal(subOf('help'), call({ user: 'mara' }))).toBeUndefined();
    expect(rates.refusal(subOf('help'), call({ atMs: NOW + 60_000 }))).toBeUndefined();
  });

  test('one server, however many join in, leaves room for another', () => {
    const rates = new Rates();
    const of = (i: number) => call({ user: `m${i % 100}` });
    expect(count(rates, 'help', of, 5000)).toBe(RATES.server.most);
    expect(rates.refusal(subOf('help'), call({ user: 'mara', guild: 'other' }))).toBeUndefined();
  });

  test('rehearsals and moved times, which go out as mail, are few', () => {
    expect(count(new Rates(), 'checkin drill', (i) => call({ user: `p${i}` }), 100)).toBe(6);
    expect(count(new Rates(), 'checkin plan', (i) => call({ user: `p${i}` }), 100)).toBe(30);
  });

  test('a clock that is set back locks nobody out', () => {
    const rates = new Rates();
    count(rates, 'help', () => call(), 500);
    expect(rates.refusal(subOf('help'), call({ atMs: NOW - 3_600_000 }))).toBeUndefined();
  });

  test.each([
    ...[
      'checkin ok',
      'trouble report',
      'trouble update',
      'trouble over',
      'trip down',
      'trip close',
    ],
    ...['overdue ack', 'overdue resolve', 'overdue sheet', 'overdue show'],
  ])('/%s goes in whatever else was asked, and whoever floods with it', (path) => {
    const rates = new Rates();
    expect(count(rates, 'help', () => call(), 5000)).toBe(RATES.command.most);
    // A loop has its bound, kindly told; nobody else is in its way.
    expect(count(rates, path, () => call(), 5000)).toBe(RATES.vital.most);
    expect(rates.refusal(subOf(path), call({ atMs: NOW + 40_000 }))?.reply().lines).toEqual([
      '60 such posts of one person within a minute are as many as tagline takes; go on in 20 s.',
      'What you have posted stands. Anybody else of the roster can post at once.',
    ]);
    for (let n = 0; n < 200; n++) count(rates, path, () => call({ user: `flood${n}` }), 100);
    expect(rates.refusal(subOf(path), call({ user: 'mara' }))).toBeUndefined();
    expect(rates.refusal(subOf(path), call({ atMs: NOW + 60_000 }))).toBeUndefined();
  });

  test('suggestions while somebody types are bounded for each, and for all', () => {
    const rates = new Rates();
    const given = (user: string) =>
      Array.from({ length: 2000 }, () =>
        rates.counted(['completion', 'completions'], call({ user })),
      ).filter((refused) => refused === undefined).length;
    expect(given('mallory')).toBe(RATES.completion.most);
    expect(given('mara')).toBe(RATES.completion.most);
    const all = Array.from({ length: 50 }, (_, n) => given(`m${n}`));
    expect(all.reduce((sum, n) => sum + n, 0)).toBeLessThanOrEqual(RATES.completions.most);
  });
});
