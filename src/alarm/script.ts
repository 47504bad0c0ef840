import { bare } from '../say/message.ts';
import { clock, offset } from '../time/format.ts';
import { dayMonthIn } from '../time/in-language.ts';
import { wallTime } from '../time/zone.ts';
import { onTheWall, openTroubles } from '../trip/conditions.ts';
import { lastSign } from './expectations.ts';
import type { SheetPerson } from './sheet.ts';
import { degrees } from './sheet-lines.ts';
import { heardIn } from './words/heard.ts';
import type { Home } from './words/home.ts';
import { modeIn } from './words/mode-home.ts';
import { troubleLines } from './words/trouble.ts';

/**
 * What a contact reads out when the rescue service answers, in the order in which a dispatcher asks:
 * what, who, where, since when, what is known (SHEET has the rest). Short sentences, to be said aloud.
 *
 * @param caller the contact who reads it
 */
export function callScript(
  h: Home,
  caller: Pick<SheetPerson, 'name'> & { phone?: string | undefined },
): string[] {
  const { w, state, nowMs } = h;
  const { place, watch } = state;
  const party = onTheWall(state);
  const names = party.map((p) => (p.age === undefined ? p.name : `${p.name} (${p.age})`));
  const trouble = openTroubles(state).flatMap((t) => troubleLines(state, t, nowMs, w).map(bare));
  const due = watch.plan.calloutMs ?? watch.plan.downMs;
  const sign = lastSign(state);
  return [
    caller.phone === undefined
      ? w.text('script.me', { name: caller.name })
      : w.text('script.mePhone', { name: caller.name, phone: caller.phone }),
    trouble.length === 0
      ? w.text('script.overdue')
      : w.text('script.trouble', { trouble: trouble.join(' ') }),
    ...(party.length === 0
      ? []
      : [w.text('script.who', { count: party.length, names: names.join(', ') })]),
    [
      w.text('script.wall', {
        wall: place.name === undefined ? state.name : `${state.name}, ${place.name}`,
      }),
      ...(place.lat === undefined || place.lon === undefined
        ? []
        : [
            w.text('script.position', {
              position: `${degrees(place.lat, 'N', 'S')} ${degrees(place.lon, 'E', 'W')}`,
            }),
          ]),
    ].join(' '),
    w.text('script.mode', { mode: bare(modeIn(h)) }),
    sign === undefined
      ? w.text('script.nothing')
      : w.text('script.heard', {
          when: fullIn(h, sign.atMs),
          what: bare(heardIn(h, sign)),
          by: sign.by.name,
        }),
    ...(due === undefined
      ? []
      : [
          watch.plan.calloutMs === undefined
            ? w.text('script.downBy', { when: fullIn(h, due) })
            : w.text('script.callBy', { when: fullIn(h, due) }),
        ]),
    w.text('script.sheet'),
  ];
}

/** `12 Jun 2031 14:32 (+02:00)`: nothing left to guess. */
function fullIn({ w, state: { zone } }: Home, atMs: number): string {
  const wall = wallTime(zone, atMs);
  return `${dayMonthIn(w.language, wall)} ${wall.year} ${clock(zone, atMs)} (${offset(wall)})`;
}
