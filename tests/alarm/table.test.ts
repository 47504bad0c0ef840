/**
 * Who is told of what, and when, as a table: silence from what was told last. C is the channel (party and
 * ground crew), D the first contact, P the second. Departed at six, everyone down by 22:00, call-out time
 * 02:00, alarms after 30 min and 2 h, unless the row says otherwise. The times follow from what the design
 * says of the watch, and were worked out by hand. ICAO Annex 11, 5.2.1 (from memory): uncertainty 30 minutes
 * after a word should have come, alert when further inquiries bring no news; land route cards wait two hours.
 * While an alert stands nobody is told of anything milder: each reads of the gravest that stands.
 */
import { describe, expect, it } from 'vitest';
import { deadlinesOf } from '../../src/alarm/deadlines.ts';
import { PHASES, phasesToTell } from '../../src/alarm/ladder.ts';
import { dayClock } from '../../src/time/format.ts';
import { DAWN_MS, departed, MINUTE, type Story, type Told } from './trip.ts';

/** `12 22:30`: a day of June and a time in Oslo. */
function on(text: string): number {
  const [day, clock = ''] = text.split(' ');
  const [hour = 0, minute = 0] = clock.split(':').map(Number);
  return Date.UTC(2031, 5, Number(day), hour - 2, minute);
}
const plan = (times: Record<string, string | null>): Told => ({
  kind: 'watch.planned',
  data: Object.fromEntries(
    Object.entries(times).map(([k, v]) => [`${k}Ms`, v === null ? null : on(v)]),
  ),
  told: DAWN_MS,
});
const nightly: Told = { kind: 'watch.nightly', data: { clock: '21:00' }, told: DAWN_MS };
const word = (at: string, told = at): Told => ({
  kind: 'watch.ok',
  data: { how: 'radio' },
  at: on(at),
  told: on(told),
});
const onTop = (at: string): Told[] =>
  Array.from({ length: 8 }, (_, i) => ({
    kind: 'pitch.done',
    data: { pitch: i + 1 },
    at: on(at) - (7 - i) * 20 * MINUTE,
  }));
const settled = (at: string, until?: string): Told => ({
  kind: 'bivy.settled',
  data: { pitch: 0, ...(until === undefined ? {} : { untilMs: on(until) }) },
  at: on(at),
});
const wayDown = (point: string, at: string): Told => ({
  kind: 'descent.reached',
  data: { point },
  at: on(at),
});
const trouble = (wants: string, at: string): Told => ({
  kind: 'trouble.reported',
  data: { who: ['ines'], condition: 'hurt', what: 'fell', how: 'self', wants },
  at: on(at),
});
const delays = (data: object): Told => ({ kind: 'watch.delays', data });
const LONG = plan({ down: '14 18:00', callout: '14 22:00' });

/** What each row's first words mean. */
const TOLD: Record<string, Told[]> = {
  nothing: [],
  'a word at 20:00': [word('12 20:00')],
  'a word at 21:30, told then': [word('12 21:30')],
  'a word of 21:30, told at 22:10': [word('12 21:30', '12 22:10')],
  'a word of 20:30, told at 22:10': [word('12 20:30', '12 22:10')],
  'on top by 20:00, on top 19:40': [plan({ topout: '12 20:00' }), ...onTop('12 19:40')],
  'on top by 20:00, nothing': [plan({ topout: '12 20:00' })],
  'on top 19:00, off the top 21:30': [...onTop('12 19:00'), wayDown('off-top', '12 21:30')],
  'on top 19:00, at the foot 22:20': [...onTop('12 19:00'), wayDown('foot', '12 22:20')],
  'settled 21:30': [settled('12 21:30', '13 06:00')],
  'settled 22:10, call-out 02:00': [settled('12 22:10', '13 06:00')],
  'settled 22:10, call-out 10:00': [plan({ callout: '13 10:00' }), settled('12 22:10', '13 06:00')],
  'retreating since 21:50': [{ kind: 'retreat.began', data: { pitch: 0 }, at: on('12 21:50') }],
  'trouble at 21:00, they cope': [trouble('cope', '12 21:00')],
  'trouble at 21:00, call-out wanted': [trouble('callout', '12 21:00')],
  'trouble, they cope, a word at 22:30': [trouble('cope', '12 21:00'), word('12 22:30')],
  'told after 90, overdue after 60 min': [delays({ uncertaintyMin: 90, alertMin: 60 })],
  'Dana told after 3 h': [delays({ person: 'dana', uncertaintyMin: 180 })],
  'a word at 02:05, past the call-out': [word('13 02:05')],
  'a word at 22:05, call-out 10:00': [plan({ callout: '13 10:00' }), word('12 22:05')],
  'no call-out agreed': [plan({ callout: null })],
  'no time agreed at all': [plan({ down: null, callout: null })],
  'three days, a word nightly at 21:00': [LONG, nightly],
  'the same, settled 19:00': [LONG, nightly, settled('12 19:00')],
  'the same, settled 16:30': [LONG, nightly, settled('12 16:30')],
};

const TABLE = `
told last                            | due                                  | uncertainty                             | alert                                   | distress
nothing                              | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
a word at 20:00                      | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
a word at 21:30, told then           | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
a word of 21:30, told at 22:10       | 23:30 C                              | Fri 00:00 CD                            | Fri 01:30 CDP                           | Fri 02:00 CDP
a word of 20:30, told at 22:10       | 22:10 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
on top by 20:00, on top 19:40        | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
on top by 20:00, nothing             | 20:00 C                              | 20:30 CD                                | 22:00 CDP                               | Fri 02:00 CDP
on top 19:00, off the top 21:30      | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
on top 19:00, at the foot 22:20      | Fri 00:20 C                          | Fri 00:50 CD                            | -                                       | Fri 02:00 CDP
settled 21:30                        | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
settled 22:10, call-out 02:00        | Fri 00:10 C                          | Fri 00:40 CD                            | -                                       | Fri 02:00 CDP
settled 22:10, call-out 10:00        | Fri 07:00 C                          | Fri 07:30 CD                            | Fri 09:00 CDP                           | Fri 10:00 CDP
retreating since 21:50               | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 02:00 CDP
trouble at 21:00, they cope          | -                                    | -                                       | 21:00 CDP                               | 23:00 CDP
trouble at 21:00, call-out wanted    | -                                    | -                                       | -                                       | 21:00 CDP
trouble, they cope, a word at 22:30  | -                                    | -                                       | 22:30 CDP                               | 23:00 CDP
told after 90, overdue after 60 min  | 22:00 C                              | -                                       | 23:30 CDP                               | Fri 02:00 CDP
Dana told after 3 h                  | 22:00 C                              | 22:30 C                                 | Fri 00:00 CP, Fri 01:00 D               | Fri 02:00 CDP
a word at 02:05, past the call-out   | Fri 04:05 C                          | Fri 04:35 CD                            | Fri 06:05 CDP                           | Fri 10:05 CDP
a word at 22:05, call-out 10:00      | Fri 00:05 C                          | Fri 00:35 CD                            | Fri 02:05 CDP                           | Fri 10:00 CDP
no call-out agreed                   | 22:00 C                              | 22:30 CD                                | Fri 00:00 CDP                           | Fri 04:00 CDP
no time agreed at all                | Fri 06:00 C                          | Fri 06:30 CD                            | Fri 08:00 CDP                           | Fri 12:00 CDP
three days, a word nightly at 21:00  | 21:00 C                              | 21:30 CD                                | 23:00 CDP, Fri 23:00 CDP, Sat 20:00 CDP | Sat 22:00 CDP
the same, settled 19:00              | Fri 21:00 C                          | Fri 21:30 CD                            | Fri 23:00 CDP, Sat 20:00 CDP            | Sat 22:00 CDP
the same, settled 16:30              | 21:00 C                              | 21:30 CD                                | 23:00 CDP, Fri 23:00 CDP, Sat 20:00 CDP | Sat 22:00 CDP
`;

const LETTER: Record<string, string> = { '@field': 'C', dana: 'D', pal: 'P' };

/** Silence from here on, with the watch doing what it does: by phase, when and whom it told. */
function silence(story: Story): Record<string, string> {
  const cells: Record<string, string[]> = {};
  let nowMs = story.events.at(-1)?.recordedAtMs ?? DAWN_MS;
  for (let looks = 0; looks < 100; looks++) {
    for (const { phase, root, to } of phasesToTell(story.state, nowMs)) {
      const data = { phase, root: root.key, dueMs: root.dueMs, to };
      story.tell({ kind: 'watch.raised', data, told: nowMs, by: 'tagline' });
      const who = ['@field', 'dana', 'pal'].filter((g) => to.includes(g)).map((g) => LETTER[g]);
      const at = dayClock('Europe/Oslo', nowMs, on('12 12:00'));
      cells[phase] = [...(cells[phase] ?? []), `${at} ${who.join('')}`];
    }
    const next = deadlinesOf(story.state, nowMs).flatMap((d) =>
      d.dueAtMs > nowMs && /^(due|uncertainty|alert|distress|look)/.test(d.key) ? [d.dueAtMs] : [],
    );
    if (next.length === 0) break;
    nowMs = Math.min(...next);
  }
  return Object.fromEntries(PHASES.map((phase) => [phase, cells[phase]?.join(', ') ?? '-']));
}

describe('who is told of what and when, by what was told last', () => {
  const rows = TABLE.trim()
    .split('\n')
    .slice(1)
    .map((row) => row.split('|').map((c) => c.trim()));

  it.each(rows)('%s', (told, ...cells) => {
    const facts = TOLD[told];
    if (facts === undefined) throw new Error(`no such row: ${told}`);
    const found = silence(departed().tell(...facts));
    expect(PHASES.map((phase) => found[phase])).toEqual(cells);
  });

  it('has a row for everything that is told', () => {
    expect(rows.map(([told]) => told)).toEqual(Object.keys(TOLD));
  });
});
