import type { FanPoint, Level, Point, Scene } from '../../src/page/picture/scene.ts';
import { instant, ZONE } from '../helpers/world.ts';

/** Invented trips in every shape a picture has to bear. */

const MIN = 60_000;
export const at = (local: string): number => instant(ZONE, `2031-06-${local}`);

const NAMES = ['Mara', 'Jonas', 'Ines'];

export function levels(count: number, done: number, lengthM = 36): Level[] {
  return Array.from({ length: count }, (_, i) => ({
    pitch: i + 1,
    heightM: (i + 1) * lengthM + (i % 3) * 4,
    leader: NAMES[i % NAMES.length] ?? 'Mara',
    done: i < done,
    bivy: i % 9 === 4,
  }));
}

/** Times for the first levels, `each` minutes a pitch. */
export function line(from: number, all: readonly Level[], eachMin: number, ms = MIN): Point[] {
  const points = all.map((l, i) => ({ atMs: from + (i + 1) * eachMin * ms, heightM: l.heightM }));
  return [{ atMs: from, heightM: 0 }, ...points];
}

export function fanFrom(
  nowMs: number,
  heightM: number,
  rest: readonly Level[],
  eachMin: number,
  nightPauseMin: (i: number) => number = () => 0,
): FanPoint[] {
  const start = { heightM, q10: nowMs, q50: nowMs, q90: nowMs };
  let spent = 0;
  return [
    start,
    ...rest.map((l, i) => {
      spent += eachMin + nightPauseMin(i);
      const wide = Math.sqrt(i + 1) * eachMin;
      return {
        heightM: l.heightM,
        q10: nowMs + (spent - 0.35 * wide) * MIN,
        q50: nowMs + spent * MIN,
        q90: nowMs + (spent + 0.7 * wide) * MIN,
      };
    }),
  ];
}

const base = { zone: ZONE, units: 'm' as const, descending: false, title: 'Harrow Tower' };

export function dayTrip(): Scene {
  const all = levels(9, 5);
  const nowMs = at('12 14:32');
  const actual = line(at('12 06:10'), all.slice(0, 5), 98);
  const fan = fanFrom(nowMs, all[4]?.heightM ?? 0, all.slice(5), 64);
  const top = fan.at(-1) ?? { q10: 0, q50: 0, q90: 0, heightM: 0 };
  return {
    ...base,
    answer: ['Top-out 18:48 (cautious 20:17), behind by 35 min.', 'Now: Ines, pitch 6.'],
    nowMs,
    levels: all,
    planned: line(at('12 06:00'), all, 78),
    actual,
    fan,
    down: {
      fromMs: top.q50,
      fromM: top.heightM,
      q10: top.q10 + 75 * MIN,
      q50: top.q50 + 90 * MIN,
      q90: top.q90 + 110 * MIN,
    },
    nights: [
      { fromMs: at('12 02:00'), toMs: at('12 04:10') },
      { fromMs: at('12 22:40'), toMs: at('13 02:40') },
    ],
    marks: [
      {
        atMs: at('12 21:15'),
        kind: 'shuttle',
        label: 'Last boat 21:15, 3 in 4, the tightest',
        binds: true,
      },
      { atMs: at('12 22:40'), kind: 'cutoff', label: 'Dark 22:40, 9 in 10', binds: false },
      {
        atMs: at('12 16:40'),
        kind: 'cutoff',
        label: 'Pitch 8 by 16:40',
        binds: false,
        heightM: all[7]?.heightM ?? 0,
      },
    ],
  };
}

export function threeDays(): Scene {
  const all = levels(22, 9, 38);
  const nowMs = at('13 11:20');
  const start = at('12 07:00');
  const actual: Point[] = [
    ...line(start, all.slice(0, 6), 110),
    { atMs: at('13 06:40'), heightM: all[5]?.heightM ?? 0 },
    ...all
      .slice(6, 9)
      .map((l, i) => ({ atMs: at('13 06:40') + (i + 1) * 85 * MIN, heightM: l.heightM })),
  ];
  const fan = fanFrom(nowMs, all[8]?.heightM ?? 0, all.slice(9), 100, (i) => (i === 6 ? 600 : 0));
  const top = fan.at(-1) ?? { q10: 0, q50: 0, q90: 0, heightM: 0 };
  const night = (a: string, b: string) => ({ fromMs: at(a), toMs: at(b) });
  return {
    ...base,
    title: 'Harrow Tower, the long way by the left-hand pillar and the upper dihedral',
    answer: [
      'Top-out Sat 19:00 (cautious Sat 23:12), on schedule for the second night at pitch 15.',
    ],
    nowMs,
    levels: all,
    planned: line(start, all.slice(0, 7), 100)
      .concat(
        all
          .slice(7, 15)
          .map((l, i) => ({ atMs: at('13 06:30') + (i + 1) * 100 * MIN, heightM: l.heightM })),
      )
      .concat(
        all
          .slice(15)
          .map((l, i) => ({ atMs: at('14 06:30') + (i + 1) * 60 * MIN, heightM: l.heightM })),
      ),
    actual,
    fan,
    down: {
      fromMs: top.q50,
      fromM: top.heightM,
      q10: top.q10 + 5e6,
      q50: top.q50 + 6e6,
      q90: top.q90 + 8e6,
    },
    nights: [
      night('11 23:00', '12 03:50'),
      night('12 23:00', '13 03:50'),
      night('13 23:00', '14 03:50'),
      night('14 23:00', '15 03:50'),
    ],
    marks: [
      {
        atMs: at('14 21:15'),
        kind: 'shuttle',
        label: 'Last boat Sat 21:15, 6 in 10, the tightest',
        binds: true,
      },
      { atMs: at('14 22:00'), kind: 'cutoff', label: 'Permit Sat 22:00', binds: false },
      { atMs: at('14 17:00'), kind: 'cutoff', label: 'Rain from Sat 17:00', binds: false },
      { atMs: at('13 20:00'), kind: 'watch', label: 'Check-in 20:00', binds: false },
      { atMs: at('14 20:00'), kind: 'watch', label: 'Check-in Sat 20:00', binds: false },
    ],
  };
}

export function fortyPitches(): Scene {
  const all = levels(40, 17, 27).map((l) => ({
    ...l,
    leader: l.pitch % 2 === 0 ? 'Maximiliane' : 'Pål',
  }));
  const nowMs = at('12 23:10');
  const actual = line(at('12 04:00'), all.slice(0, 17), 62);
  const fan = fanFrom(nowMs, all[16]?.heightM ?? 0, all.slice(17), 58, (i) => (i === 0 ? 380 : 0));
  return {
    ...base,
    answer: ['Top-out Sat 03:44 (cautious not within a week).'],
    units: 'ft',
    nowMs,
    levels: all,
    planned: line(at('12 04:00'), all, 50),
    actual,
    // A tenth of the ascents find no end, from some height on.
    fan: fan.map((f, i) => (i > 12 ? { ...f, q90: Number.POSITIVE_INFINITY } : f)),
    nights: [
      { fromMs: at('12 22:40'), toMs: at('13 03:40') },
      { fromMs: at('13 22:40'), toMs: at('14 03:40') },
    ],
    marks: [
      { atMs: at('13 19:00'), kind: 'shuttle', label: 'Bus 19:00', binds: false },
      {
        atMs: at('13 21:00'),
        kind: 'shuttle',
        label: 'Last bus 21:00, 1 in 3, the tightest',
        binds: true,
      },
    ],
  };
}

export function retreating(): Scene {
  const all = levels(9, 4);
  const nowMs = at('12 15:10');
  const high = all[3]?.heightM ?? 0;
  return {
    ...base,
    answer: ['Going down since 14:40 from pitch 4. Down 18:20 (cautious 19:40).'],
    nowMs,
    descending: true,
    levels: all,
    planned: line(at('12 06:00'), all, 78),
    actual: [
      ...line(at('12 06:30'), all.slice(0, 4), 118),
      { atMs: at('12 14:40'), heightM: high },
    ],
    fan: [],
    down: {
      fromMs: at('12 14:40'),
      fromM: high,
      q10: at('12 17:40'),
      q50: at('12 18:20'),
      q90: at('12 19:40'),
    },
    nights: [{ fromMs: at('12 22:40'), toMs: at('13 03:40') }],
    marks: [
      {
        atMs: at('12 21:15'),
        kind: 'shuttle',
        label: 'Last boat 21:15, 19 in 20, the tightest',
        binds: true,
      },
    ],
  };
}

export function overdue(): Scene {
  const all = levels(9, 7);
  const nowMs = at('13 00:20');
  const actual = line(at('12 06:10'), all.slice(0, 7), 98);
  const fan = fanFrom(nowMs, all[6]?.heightM ?? 0, all.slice(7), 75, (i) => (i === 0 ? 360 : 0));
  return {
    ...base,
    answer: ['Overdue since 21:00, alert. Last heard 17:36: pitch 7 done.'],
    nowMs,
    levels: all,
    planned: line(at('12 06:00'), all, 78),
    actual,
    fan,
    nights: [{ fromMs: at('12 22:40'), toMs: at('13 03:40') }],
    marks: [
      { atMs: at('12 21:00'), kind: 'watch', label: 'Due 21:00', binds: false },
      { atMs: at('12 21:15'), kind: 'shuttle', label: 'Last boat 21:15', binds: false },
      { atMs: at('12 21:30'), kind: 'watch', label: 'Uncertainty 21:30', binds: false },
      { atMs: at('12 23:30'), kind: 'watch', label: 'Alert 23:30', binds: false },
      { atMs: at('13 06:00'), kind: 'watch', label: 'Call-out 06:00', binds: true },
    ],
  };
}

export function empty(): Scene {
  return {
    ...base,
    answer: ['Preparing; not departed yet.'],
    nowMs: at('11 20:00'),
    levels: [],
    planned: [],
    actual: [],
    fan: [],
    nights: [],
    marks: [],
    note: 'No picture without a topo: /topo load.',
  };
}

/** Before the start: a topo and a plan, nothing told. */
export function planOnly(): Scene {
  const all = levels(3, 0, 45);
  const nowMs = at('11 20:00');
  const start = at('12 06:00');
  return {
    ...base,
    answer: ['Preparing; not departed yet. Top-out Thu 11:00 (cautious Thu 12:50).'],
    nowMs,
    levels: all,
    planned: [],
    actual: [],
    fan: fanFrom(start, 0, all, 100),
    nights: [{ fromMs: at('11 23:00'), toMs: at('12 03:50') }],
    marks: [],
  };
}

/** Everyone on top, all pitches done, on the way to the trailhead through a night without end. */
export function polarNight(): Scene {
  const all = levels(9, 9);
  const nowMs = at('12 16:30');
  const top = all.at(-1)?.heightM ?? 0;
  return {
    ...base,
    answer: ['On top. Trailhead 18:00 (cautious 18:50).'],
    nowMs,
    descending: true,
    levels: all,
    planned: line(at('12 06:00'), all, 60),
    actual: line(at('12 06:00'), all, 70),
    fan: [],
    down: {
      fromMs: at('12 16:30'),
      fromM: top,
      q10: at('12 17:40'),
      q50: at('12 18:00'),
      q90: at('12 18:50'),
    },
    // From noon to noon, as where the sun does not come near the horizon.
    nights: [
      { fromMs: at('11 12:00'), toMs: at('12 12:00') },
      { fromMs: at('12 12:00'), toMs: at('13 12:00') },
    ],
    marks: [{ atMs: at('12 21:15'), kind: 'watch', label: 'Down by 21:15', binds: false }],
  };
}

/** Two people in feet: every other pair of pitches in one lead, done at the same moment. */
export function linked(): Scene {
  const all = levels(8, 4).map((l) => ({ ...l, leader: l.pitch % 4 < 2 ? 'Mara' : 'Jonas' }));
  const nowMs = at('12 09:40');
  const pairs = [7, 7, 9, 9].map((hour) => at(`12 0${hour}:20`));
  return {
    ...base,
    units: 'ft',
    title: 'Harrow Tower by the left pillar and the dihedral',
    answer: ['Top-out 14:10 (cautious 15:30).', 'Ahead by 20 min at pitch 4.'],
    nowMs,
    levels: all,
    planned: [],
    actual: [
      { atMs: at('12 06:00'), heightM: 0 },
      ...pairs.map((atMs, i) => ({ atMs, heightM: all[i]?.heightM ?? 0 })),
    ],
    fan: fanFrom(nowMs, all[3]?.heightM ?? 0, all.slice(4), 60),
    nights: [],
    marks: [
      { atMs: at('12 15:00'), kind: 'cutoff', label: 'Thunder from the coast 15:00', binds: true },
    ],
  };
}

/** The shortest route there can be, and people whose names are left out: none is set to lead. */
export function onePitch(): Scene {
  const all = levels(1, 0).map(({ leader: _, ...level }) => level);
  const nowMs = at('12 10:00');
  return {
    ...base,
    answer: ['Top-out 11:30 (cautious 12:00).'],
    nowMs,
    levels: all,
    planned: [],
    actual: [],
    fan: fanFrom(nowMs, 0, all, 90),
    nights: [],
    marks: [],
  };
}

/** Rain by the evening, likelier at night. */
export function rainTold(): Scene {
  const rains = [
    { fromMs: at('12 17:00'), toMs: at('12 19:00'), chance: 0.3 },
    { fromMs: at('12 19:00'), toMs: at('12 22:00'), chance: 0.8 },
  ];
  return { ...dayTrip(), rains };
}

export const SCENES: Readonly<Record<string, () => Scene>> = {
  day: dayTrip,
  'three days': threeDays,
  'forty pitches': fortyPitches,
  retreating,
  overdue,
  empty,
  'plan only': planOnly,
  'polar night, on top': polarNight,
  'linked, in feet': linked,
  'one pitch': onePitch,
  'rain told': rainTold,
};
