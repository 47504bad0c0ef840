import type { Moment } from './play.ts';
import { gainOn, losses, pit, quantile, type Score, score, wilson } from './score.ts';

const two = (x: number): string => (Number.isFinite(x) ? x.toFixed(2) : '–');

/** One line a climb and moment: what was believed, what came. */
export function lineOf(m: Moment): string {
  const q = (p: number): string => String(Math.round(quantile(m.believed, p)));
  const { forecast, fortyFive, averageSoFar } = losses(m);
  return [
    m.climb.id.padEnd(26),
    m.climb.class.padEnd(9),
    m.climb.kind.padEnd(4),
    String(m.done).padStart(3),
    `${q(0.1)}–${q(0.5)}–${q(0.9)}`.padStart(16),
    String(Math.round(m.actualMin)).padStart(5),
    two(pit(m)),
    `${two(forecast)} ${two(fortyFive)} ${two(averageSoFar)}`,
  ].join(' ');
}

export const HEAD =
  'climb                      class     kind done  10–50–90 % min actual PIT  loss: ours, 45 min, average';

function row(name: string, s: Score): string {
  return `${name.padEnd(26)} n ${String(s.n).padStart(3)}  held ${two(s.held50)} ${two(s.held80)} ${two(s.held90)}  cautious ${two(s.cautious)}  PIT ${two(s.meanPit)} (${s.fifths.join(' ')})  ratio ${two(s.ratio)}  loss ${two(s.forecast)}  45 min ${two(s.fortyFive)}  average ${two(s.averageSoFar)}`;
}

/** What so few can say: between which shares the intervals' true ones lie, and what is gained on either rival. */
function doubt(moments: readonly Moment[], s: Score): string {
  const shares = [s.held50, s.held80, s.held90].map((share) => {
    const { low, high } = wilson(share, s.n);
    return `${two(low)}–${two(high)}`;
  });
  const gains = (['fortyFive', 'averageSoFar'] as const).map((rival) => {
    const { mean, low, high } = gainOn(moments, rival);
    return `${two(mean)} (${two(low)} to ${two(high)})`;
  });
  const parties = new Set(moments.map((m) => m.climb.party)).size;
  return `    ${parties} parties; 95 % intervals of what was held ${shares.join(' ')}; gained on 45 min ${gains[0]}, on the average ${gains[1]}`;
}

/** The table of scores: before the start by class and kind, then after posts by quarter of the climb. */
export function table(moments: readonly Moment[]): string[] {
  const before = moments.filter((m) => m.done === 0);
  const after = moments.filter((m) => m.done > 0);
  const by = <K extends 'class' | 'kind'>(key: K, value: string) =>
    before.filter((m) => m.climb[key] === value);
  const rows: [string, readonly Moment[]][] = [
    ['before the start', before],
    ['  efficient', by('class', 'efficient')],
    ['  average', by('class', 'average')],
    ['  first', by('class', 'first')],
    ['  free', by('kind', 'free')],
    ['  aid', by('kind', 'aid')],
    ['after posts', after],
    ...[0, 1, 2, 3].map((q): [string, readonly Moment[]] => [
      `  quarter ${q + 1}`,
      after.filter((m) => Math.min(3, Math.floor(m.share * 4)) === q),
    ]),
  ];
  return rows
    .filter(([, ms]) => ms.length > 0)
    .flatMap(([name, ms]) => {
      const s = score(ms);
      return [row(name, s), doubt(ms, s)];
    });
}
