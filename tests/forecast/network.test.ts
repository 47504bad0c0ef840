import { describe, expect, it } from 'vitest';
import { compile } from '../../src/forecast/compile.ts';
import { drawAscent, newAscent } from '../../src/forecast/draw.ts';
import {
  AID_EFFECT,
  CHANGEOVER_EFFECT,
  dayEffect,
  driftAt,
  driftEffect,
  HAUL_EFFECT,
  leaderEffect,
  PARTY_EFFECT,
} from '../../src/forecast/effects.ts';
import { LEG_NORMALS } from '../../src/forecast/layout.ts';
import { maxNormalMoments } from '../../src/forecast/moments.ts';
import { normalCdf } from '../../src/forecast/normal.ts';
import { legTables } from '../../src/forecast/tables.ts';
import { studentAt } from '../../src/forecast/tails.ts';
import { route, trip } from './fixture.ts';
import { type Activity, criticalPath, pert, type Scheduled } from './reference/network.ts';

function estimated(rows: [string, number, number, number, string][]) {
  return rows.map(([name, o, m, p, after]) => ({
    name,
    duration: pert(o, m, p).mean,
    variance: pert(o, m, p).variance,
    after: after === '' ? [] : after.split(','),
  }));
}

describe('the critical path method against published networks', () => {
  it('finds the 24 of A B C D E F G (brainmass.com 368694)', () => {
    const acts: Activity[] = [
      { name: 'A', duration: 7, after: [] },
      { name: 'B', duration: 2, after: ['A'] },
      { name: 'C', duration: 4, after: ['A'] },
      { name: 'D', duration: 4, after: ['B', 'C'] },
      { name: 'E', duration: 4, after: ['D'] },
      { name: 'F', duration: 3, after: ['E'] },
      { name: 'G', duration: 5, after: ['E'] },
    ];
    const { total, critical } = criticalPath(acts);
    expect(total).toBe(24);
    expect(critical).toEqual(['A', 'C', 'D', 'E', 'G']);
  });

  // wizedu.com/questions/717873: fourteen activities, path, length, variance, slacks, P(T ≤ 55).
  it('finds path, length, slack and chance of a PERT network', () => {
    const acts = estimated([
      ['A', 5, 5, 7, ''],
      ['B', 1, 2, 5, ''],
      ['C', 5, 5, 5, 'A'],
      ['D', 4, 8, 13, 'A'],
      ['E', 1, 10, 17, 'B,C'],
      ['F', 1, 5, 7, 'D'],
      ['G', 2, 6, 9, 'D'],
      ['H', 4, 4, 6, 'E,F'],
      ['I', 2, 7, 10, 'G,H'],
      ['J', 2, 4, 7, 'I'],
      ['K', 6, 10, 13, 'I'],
      ['L', 2, 6, 6, 'J'],
      ['M', 2, 2, 3, 'K'],
      ['N', 7, 7, 12, 'L,M'],
    ]);
    const { total, critical, byName } = criticalPath(acts);
    expect(critical.join('-')).toBe('A-C-E-H-I-K-M-N');
    expect(total).toBeCloseTo(50.83, 2);
    const variance = acts
      .filter((a) => critical.includes(a.name))
      .reduce((sum, a) => sum + a.variance, 0);
    expect(variance).toBeCloseTo(11.194, 3);
    expect(normalCdf((55 - total) / Math.sqrt(variance))).toBeCloseTo(0.8935, 4);
    const slack = (name: string): number => (byName.get(name) as Scheduled).slack;
    expect(slack('B')).toBeCloseTo(8, 1);
    for (const name of ['D', 'F']) expect(slack(name)).toBeCloseTo(1.83, 2);
    expect(slack('G')).toBeCloseTo(5, 1);
    for (const name of ['J', 'L']) expect(slack(name)).toBeCloseTo(2.5, 2);
  });

  // slideshare GautamChopra7: path 36 ± 5 beside a near-critical 35 ± 6, which share only the last node.
  it('shows what the critical path alone leaves out', () => {
    const legs = {
      a: [pert(3, 6, 15), pert(6, 12, 30), pert(5, 11, 17), pert(1, 4, 7)],
      b: [pert(2, 5, 14), pert(3, 9, 27), pert(4, 19, 28)],
    };
    const sum = (xs: { mean: number; variance: number }[]) => ({
      mean: xs.reduce((s, x) => s + x.mean, 0),
      variance: xs.reduce((s, x) => s + x.variance, 0),
    });
    const a = sum(legs.a);
    const b = sum(legs.b);
    expect([a.mean, a.variance]).toEqual([36, 25]);
    expect([b.mean, b.variance]).toEqual([35, 36]);
    const both = normalCdf(0) * normalCdf((36 - 35) / 6);
    expect(both).toBeCloseTo(0.283, 3);
    const merged = maxNormalMoments(a, b);
    // The project takes longer than its critical path: about 2.6 more on these two.
    expect(merged.mean - 36).toBeGreaterThan(2.5);
    expect(normalCdf((36 - merged.mean) / Math.sqrt(merged.variance))).toBeCloseTo(both, 1);
  });
});

describe('the pitch against the critical path of its stages', () => {
  it.each([2, 3, 4])('for a party of %d, third man and all', (partySize) => {
    const input = trip({ partySize, pitches: route(6, 2), settings: { thirdFollowShare: 1 } });
    const c = compile(input);
    const tables = legTables(c);
    const a = newAscent(c);
    let waited = 0;
    for (let i = 0; i < 200; i++) {
      drawAscent(c, tables, a, i);
      const acts: Activity[] = [];
      const party = a.effects[PARTY_EFFECT] as number;
      const climbers = input.climbers.length;
      for (let k = 0; k < 6; k++) {
        const at = tables.at[k] as number;
        const drift = driftAt((k + 0.5) / 6).reduce(
          (sum, value, j) => sum + value * (a.effects[driftEffect(climbers) + j] as number),
          0,
        );
        const day = a.effects[dayEffect(climbers, c.legs[k]?.day as number)] as number;
        const luck = c.settings.sigmaPitch * studentAt(a.normals[at + LEG_NORMALS.pitch] as number);
        const stage = (mu: number, sigma: number, own: number): number =>
          Math.exp(mu + party + drift + day + luck + sigma * (a.normals[at + own] as number));
        const before = k > 0 ? [`change${k - 1}`] : [];
        const up = k > 0 && partySize > 2 ? [`third${k - 1}`] : [];
        const leg = c.legs[k]?.stages as (typeof c.legs)[number]['stages'];
        const lead = a.leadMin[k] as number;
        const onAid = c.legs[k]?.aid === true;
        const pace = a.effects[leaderEffect(c.legs[k]?.leader as number, onAid)] as number;
        const fix = stage(leg.fix.mu + pace, leg.fix.sigma, LEG_NORMALS.fix);
        const aid = onAid ? (a.effects[AID_EFFECT] as number) : 0;
        const haul = a.effects[HAUL_EFFECT] as number;
        const change = leg.changeover ? (a.effects[CHANGEOVER_EFFECT] as number) : 0;
        const end = leg.changeover ?? leg.third;
        acts.push(
          { name: `lead${k}`, duration: lead, after: before },
          { name: `fix${k}`, duration: fix, after: [`lead${k}`] },
          {
            name: `follow${k}`,
            duration: stage(leg.follow.mu + aid, leg.follow.sigma, LEG_NORMALS.follow),
            after: [`fix${k}`, ...up],
          },
          {
            name: `haul${k}`,
            duration: stage(
              (leg.haul?.mu as number) + haul,
              leg.haul?.sigma as number,
              LEG_NORMALS.more,
            ),
            after: [`fix${k}`, ...up],
          },
          {
            name: `change${k}`,
            duration: end ? stage(end.mu + change, end.sigma, LEG_NORMALS.end) : 0,
            after: [`follow${k}`, `haul${k}`],
          },
        );
        if (partySize > 2 && leg.changeover) {
          const { mu, sigma } = leg.third as { mu: number; sigma: number };
          const duration = stage(mu, sigma, LEG_NORMALS.more + 1);
          acts.push({ name: `third${k}`, duration, after: [`follow${k}`, `haul${k}`] });
        }
      }
      const { total, critical } = criticalPath(acts);
      if (critical.some((name) => name.startsWith('third'))) waited++;
      expect(a.workMin.reduce((sum, x) => sum + x, 0)).toBeCloseTo(total, 6);
    }
    if (partySize === 4)
      expect(waited, 'the third does hold the next second up').toBeGreaterThan(0);
  });
});
