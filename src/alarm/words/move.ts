import type { Message } from '../../say/message.ts';
import type { Button, Line, Piece } from '../../say/reply.ts';
import { duration } from '../../time/format.ts';
import type { TripState } from '../../trip/state.ts';
import type { What } from '../notice.ts';
import { planSeq } from '../weaker.ts';
import { accountOf, field, names, reachable } from '../who.ts';
import { at } from './common.ts';

const TIME_NAMES = {
  topout: 'Top-out',
  down: 'Everyone down',
  callout: 'The call-out time',
} as const;
const SHORT_NAMES = { topout: 'top-out', down: 'everyone down', callout: 'call-out' } as const;

/** The party is asked in time whether an agreed time still holds. */
export function askMessage(
  state: TripState,
  ask: Extract<What, { kind: 'ask' }>,
  nowMs: number,
): Message {
  const also = ask.also ?? [];
  const instant = (ms: number) => at(state, ms, nowMs);
  const people = field(state);
  const move: Button = {
    label: [
      `Move to ${instant(ask.proposeMs).text}`,
      ...also.map((t) => `${SHORT_NAMES[t.what]} ${instant(t.proposeMs).text}`),
    ].join(', '),
    tone: 'main',
    press: {
      path: 'checkin plan',
      options: {
        ...Object.fromEntries(
          [ask, ...also].map((t) => [t.what, new Date(t.proposeMs).toISOString()]),
        ),
        plan: planSeq(state),
      },
    },
  };
  const projected: Piece[] =
    ask.projectedMs === undefined
      ? ask.why === 'middle-late'
        ? ['; at this pace it is missed more likely than kept.']
        : [`, ${duration((ask.agreedMs - nowMs) / 60_000)} from now.`]
      : ask.why === 'cautious-late'
        ? ['; at this pace it may get as late as ', instant(ask.projectedMs), '.']
        : ['; at this pace it is ', instant(ask.projectedMs), '.'];
  const told = reachable(state);
  return {
    subject: `${state.name}: move a time?`,
    pings: people.flatMap((p) => accountOf(state, p) ?? []),
    buttons: [move],
    lines: [
      [`${TIME_NAMES[ask.what]} is agreed for `, instant(ask.agreedMs), ...projected],
      ...also.map(
        (t): Line => [
          `${TIME_NAMES[t.what]}, now `,
          instant(t.agreedMs),
          ', moves with it to ',
          instant(t.proposeMs),
          '.',
        ],
      ),
      `Move ${also.length === 0 ? 'it' : 'them'} now, before anyone worries?${told.length === 0 ? '' : ` ${names(told)} will be told.`}`,
      also.length === 0 ? 'If it stays, nothing changes.' : 'If they stay, nothing changes.',
    ],
  };
}
