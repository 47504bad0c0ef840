import type { Line, Piece } from '../reply.ts';

/** What may be put into a sentence: text, a number, an instant, a person, or several of them. */
export type Value = string | number | Piece | Line;

/**
 * The arguments of an ICU message as a type: `{who} {n, plural, one {is} other {are}} late` has `who`, any value,
 * and `n`, a number. So a sentence that lacks an argument doesn't compile. Quotes and tags are not known here: the
 * catalogue has none.
 */
export type ArgsOf<S extends string> = Fields<Text<S, [], never>>;

type Found = readonly [name: string, type: 'value' | 'plural' | 'select'];
type Fields<F extends Found> = {
  readonly [K in F as K[0]]: K[1] extends 'plural'
    ? number
    : K[1] extends 'select'
      ? string
      : Value;
};

/** Words up to the next brace: one that opens is an argument, one that closes ends the choice around it. */
type Text<
  S extends string,
  Around extends readonly 1[],
  F extends Found,
> = S extends `${infer Words}{${infer Rest}`
  ? Words extends `${string}}${infer Closed}`
    ? Close<`${Closed}{${Rest}`, Around, F>
    : Argument<Rest, Around, F>
  : S extends `${string}}${infer Rest}`
    ? Close<Rest, Around, F>
    : F;

/** From behind the brace that opens it. */
type Argument<
  S extends string,
  Around extends readonly 1[],
  F extends Found,
> = S extends `${infer Inside}}${infer Rest}`
  ? Inside extends `${infer Name}, ${infer Kind}, ${string}{${string}`
    ? S extends `${string}{${infer First}`
      ? Text<First, [1, ...Around], F | [Name, Kind extends 'plural' ? 'plural' : 'select']>
      : never
    : Text<Rest, Around, F | [Inside, 'value']>
  : never;

/** A choice has ended: another one follows, or the argument ends. */
type Close<
  S extends string,
  Around extends readonly 1[],
  F extends Found,
> = Around extends readonly [1, ...infer Up extends readonly 1[]]
  ? S extends `${infer Before}}${infer Rest}`
    ? Before extends `${string}{${string}`
      ? S extends `${string}{${infer Next}`
        ? Text<Next, Around, F>
        : never
      : Text<Rest, Up, F>
    : never
  : never;
