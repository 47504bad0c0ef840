/**
 * What must not compile about sentences to contacts: a key, an argument or a language that lacks a sentence. Each
 * case stands beside its twin that must compile; `npm run types` holds both.
 */
import type { en } from '../../src/say/contact/en/index.ts';
import type { ArgsOf } from '../../src/say/contact/icu.ts';
import { CATALOGUE, ENGLISH } from '../../src/say/contact/words.ts';

export const said = ENGLISH.say('plan.changed', { trip: 'Harrow Tower' });
// @ts-expect-error a misspelt sentence
export const nowhere = ENGLISH.say('plan.chnaged', { trip: 'Harrow Tower' });
// @ts-expect-error an argument that is missing
export const short = ENGLISH.say('plan.changed', {});
// @ts-expect-error arguments left out altogether
export const none = ENGLISH.say('plan.changed');
// @ts-expect-error an argument that the sentence hasn't got
export const wide = ENGLISH.say('plan.changed', { trip: 'Harrow Tower', by: 'Mara' });

export const plain = ENGLISH.say('ended.over');
// @ts-expect-error arguments where there are none
export const filled = ENGLISH.say('ended.over', { trip: 'Harrow Tower' });

export const counted = ENGLISH.say('ended.heard', { party: 'Mara', count: 1 });
// @ts-expect-error a number is what a plural counts
export const uncounted = ENGLISH.say('ended.heard', { party: 'Mara', count: 'one' });

type Nested =
  '{a, select, x {in {b} and {n, plural, one {# day} other {# days of {c}}}} other {}} {d}';
export const nested: ArgsOf<Nested> = { a: 'x', b: '1', n: 2, c: '3', d: '4' };
// @ts-expect-error an argument inside a choice is one too
export const outer: ArgsOf<Nested> = { a: 'x', b: '1', n: 2, d: '4' };

type Sentences = Record<keyof typeof en, string>;
export const whole: Sentences = CATALOGUE.de;
const { 'ended.over': _, ...without } = CATALOGUE.de;
// @ts-expect-error a language that lacks a sentence
export const lacking: Sentences = without;
