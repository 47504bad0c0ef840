import { type Expectation, isAbout, unmet, watched } from '../../alarm/expectations.ts';
import { phaseNow } from '../../alarm/ladder.ts';
import { expected, lastHeard } from '../../alarm/words/common.ts';
import { modeWords } from '../../alarm/words/mode.ts';
import { stepWords } from '../../alarm/words/step.ts';
import type { Forecast } from '../../forecast/model.ts';
import { capital } from '../../say/capital.ts';
import type { PressOf } from '../../say/press.ts';
import type { Button, Form, Line, Reply } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { type Retreat, stanceOf } from '../../trip/kinds/retreat.ts';
import { isOver, modeOf, type Waiting } from '../../trip/mode.ts';
import { currentPitch, linkStartsAt, type TripState } from '../../trip/state.ts';
import { standingLine } from '../forecast/standing.ts';
import { nobodyAtHome } from '../watch/warnings.ts';
import { CAUTION, headline, present } from '../words/forecast.ts';
import { laterWords, nextLead, nextWords } from '../words/lead.ts';
import { silenceWords } from '../words/topout.ts';

/**
 * The pinned message: where the party is, who leads now and next, ahead or behind, when it will be
 * up and what binds, the watch, and the ground crew's commonest posts as buttons. An alarm comes
 * before all else.
 */
export function boardOf(state: TripState, forecast: Forecast | undefined, nowMs: number): Reply {
  const over = isOver(state);
  const ahead = over || modeOf(state, nowMs).is === 'retreating' ? undefined : forecast;
  const alarm = alarmLine(state, nowMs);
  const nobody = watched(state) ? nobodyAtHome(state) : undefined;
  return {
    lines: present<Line>([
      alarm,
      `${state.name}: ${modeWords(state, nowMs)}`,
      leadLine(state, nowMs),
      ahead && headline(state, ahead, nowMs),
      ahead && silenceWords(state, ahead, nowMs),
      ahead && standingLine(state, ahead, nowMs),
      over || alarm !== undefined ? undefined : watchLine(state, nowMs),
      nobody,
      watched(state) ? lastHeard(state, nowMs) : undefined,
      `As of ${dayClock(state.zone, nowMs, nowMs)}.${ahead === undefined ? '' : ` ${CAUTION}`}`,
    ]),
    buttons: boardButtons(state, nowMs),
    card: alarm !== undefined ? 'alarm' : nobody !== undefined ? 'heed' : 'calm',
  };
}

function leadLine(state: TripState, nowMs: number): string | undefined {
  if (['retreating', 'going down', 'down', 'closed'].includes(modeOf(state, nowMs).is))
    return undefined;
  const now = nextWords(state);
  if (now === '') return undefined;
  const later = nextLead(state)?.later ?? [];
  const then = laterWords(state, later, 2);
  return then === '' ? now : `${now} Then: ${then}.`;
}

function alarmLine(state: TripState, nowMs: number): Line | undefined {
  const raised = phaseNow(state);
  if (raised === undefined) return undefined;
  const root = unmet(state).find((e) => isAbout(raised, e)) ?? { kind: 'again' as const };
  return [
    `${capital(stepWords(raised))}. ${root.kind === 'trouble' ? 'Open: ' : 'Expected: '}${expected(root)}`,
    { text: dayClock(state.zone, raised.dueMs, nowMs), atMs: raised.dueMs },
    '. ',
    { code: '/overdue show' },
  ];
}

const NEXT: Record<Expectation['kind'], string> = {
  checkin: 'Next check-in ',
  nightly: 'Next check-in ',
  topout: 'Top-out expected by ',
  down: 'Everyone down by ',
  callout: 'Call-out time ',
  again: 'A word expected by ',
  silence: 'Any word at all by ',
  trouble: 'Trouble since ',
};

/** What is to be heard next; or that nothing watches over the party yet. */
function watchLine(state: TripState, nowMs: number): Line {
  if (!watched(state)) return ['The watch starts with ', { code: '/trip depart' }, '.'];
  const [next] = unmet(state);
  if (next === undefined) return ['No check-in is promised: ', { code: '/checkin plan' }, '.'];
  return [
    NEXT[next.kind],
    { text: dayClock(state.zone, next.dueMs, nowMs), atMs: next.dueMs },
    '.',
  ];
}

/** At most three, each of which says exactly what it posts, so that a press tomorrow is still right. */
export function boardButtons(state: TripState, nowMs: number): Button[] {
  const mode = modeOf(state, nowMs);
  switch (mode.is) {
    case 'preparing':
      return state.pitches.length > 0
        ? [{ label: 'Departed', press: { path: 'trip depart', options: {} } }]
        : [];
    case 'going in':
    case 'climbing':
      return pitchButtons(state);
    case 'settled':
      return [{ label: 'Up and climbing on', press: { path: 'bivy leave', options: {} } }];
    case 'waiting':
      return waitButtons(mode, state);
    case 'retreating':
      return [rappelButton(mode.retreat), ...DOWN];
    case 'going down':
      return DOWN;
    case 'down':
    case 'closed':
      return [];
  }
}

const DOWN: Button[] = [
  { label: 'Everyone is down', tone: 'main', press: { path: 'trip down', options: {} } },
  { ...asking('Everyone is down at…'), press: { path: 'trip down', options: {} } },
];

function waitButtons({ why }: Waiting, state: TripState): Button[] {
  if (why === 'rain') {
    return [{ label: 'The rain has ended', press: { path: 'rain stop', options: {} } }];
  }
  if (why === 'wet rock') return pitchButtons(state);
  return [{ label: 'The wait is over', press: { path: 'pitch break', options: { wait: 'over' } } }];
}

function rappelButton(retreat: Retreat): Button {
  const station = Math.max(0, stanceOf(retreat).pitch - 1);
  const where = station === 0 ? 'to the ground' : `to ${station}`;
  return { label: `Rappel ${where} done`, press: { path: 'retreat rappel', options: { station } } };
}

function pitchButtons(state: TripState): Button[] {
  const pitch = currentPitch(state);
  if (pitch === undefined) return [];
  const linked = linkStartsAt(state, pitch.number);
  const number = linked ? pitch.number + 1 : pitch.number;
  const name = linked ? `Pitches ${pitch.number} and ${number}` : `Pitch ${number}`;
  const fixed: Button = {
    label: `${name} fixed`,
    press: { path: 'pitch fixed', options: { number } },
  };
  const done: PressOf<'pitch done'> = { path: 'pitch done', options: { number } };
  return [
    ...(pitch.fixed === undefined ? [fixed] : []),
    { label: `${name} done`, tone: 'main', press: done },
    { ...asking(`${name} done at…`), press: done },
  ];
}

/** A button that asks when it was. */
function asking(label: string): { label: string; ask: Form<'at'> } {
  return {
    label,
    ask: {
      title: label.replace(' at…', ''),
      fields: [{ name: 'at', label: 'When was it?', placeholder: '14:32, -20m, yesterday 22:40' }],
    },
  };
}
