import { clock } from '../../time/format.ts';
import { atStance } from '../kinds/retreat.ts';
import type { Clash, TripState } from '../state.ts';
import type { No } from './no.ts';

/** Contradictions met while folding, worded. */
export function* clashes(state: TripState): Generator<No> {
  for (const clash of state.clashes) yield wording(state, clash);
}

function wording(state: TripState, clash: Clash): No {
  const { what, pitch, mark, person } = clash;
  const about = {
    ...(pitch === undefined ? {} : { pitch }),
    ...(mark === undefined ? {} : { mark }),
    ...(person === undefined ? {} : { person }),
    seq: clash.first?.seq ?? clash.seq,
  };
  if (what === 'told-twice') return { ...about, ...toldTwice(state, clash) };
  if (what === 'no-such-pitch') return { ...about, ...noPitch(state, clash) };
  return { ...about, ...SIMPLE[what](clash) };
}

type Words = Pick<No, 'rule' | 'text' | 'ways'>;

function toldTwice(state: TripState, { first, pitch, mark, seq }: Clash): Words {
  const when = first?.timeUnknown === true ? 'time not known, by' : 'at';
  const at = first === undefined ? '' : `, ${when} ${clock(state.zone, first.atMs)}`;
  const by =
    first === undefined
      ? ''
      : ` (told ${clock(state.zone, first.recordedAtMs)} by ${first.by.name})`;
  return {
    rule: 'told-twice',
    text: `Pitch ${pitch} is ${mark} already${at}${by}.`,
    ways: [`To mend it: /pitch amend entry:${first?.seq ?? seq}`],
  };
}

function noPitch(state: TripState, { pitch }: Clash): Words {
  const last = state.pitches.length;
  if (last === 0) {
    return {
      rule: 'no-such-pitch',
      text: 'There is no topo yet.',
      ways: ['/topo load takes a CSV file; /topo edit number:1 length:38 one pitch.'],
    };
  }
  return {
    rule: 'no-such-pitch',
    text: `There is no pitch ${pitch}; the topo has ${last}.`,
    ways: [`/topo show lists them; /topo edit number:${last + 1} length: adds one.`],
  };
}

const SIMPLE: Record<
  Exclude<Clash['what'], 'told-twice' | 'no-such-pitch'>,
  (clash: Clash) => Words
> = {
  'rope-ahead': ({ pitch }) => ({
    rule: 'previous-not-done',
    text: `The rope in front has not done pitch ${pitch} by then, so the one behind can't have.`,
    ways: [`/pitch done number:${pitch} first, or another time: at:`],
  }),
  'no-such-trouble': () => ({
    rule: 'no-such-trouble',
    text: 'There is no such trouble open; it may be over already.',
    ways: ['/overdue show says what stands; /trouble report tells of a new one.'],
  }),
  'no-such-person': ({ person }) => ({
    rule: 'no-such-person',
    text: `${person} isn't on the roster.`,
    ways: ['/roster show lists who is; /roster add puts somebody on it.'],
  }),
  'same-person-twice': ({ person }) => ({
    rule: 'same-person-twice',
    text: `${person} is on the roster already.`,
    ways: ['/roster edit changes what is known of them.'],
  }),
  'phase-twice': () => ({
    rule: 'phase-twice',
    text: 'That was told already.',
    ways: ['If its time is wrong: /log show has its number for /pitch amend.'],
  }),
  'no-such-link': ({ pitch }) => ({
    rule: 'no-such-link',
    text: `Pitch ${pitch} isn't linked with the next.`,
    ways: ['/lead plan shows the links; name the lower pitch of the two.'],
  }),
  'no-such-cutoff': () => ({
    rule: 'no-such-cutoff',
    text: 'There is no such cutoff.',
    ways: ['/cutoff show lists them.'],
  }),
  'settled-twice': () => ({
    rule: 'night',
    text: 'You are settled already.',
    ways: ['/bivy leave ends the night.'],
  }),
  'not-settled': () => ({
    rule: 'night',
    text: 'No night is under way.',
    ways: ['/bivy settle begins one.'],
  }),
  'rain-twice': () => ({
    rule: 'rain',
    text: 'It is raining by the log already.',
    ways: ['/rain stop ends it.'],
  }),
  'not-waiting': () => ({
    rule: 'waiting',
    text: 'No wait is under way.',
    ways: ['/pitch break wait:2h begins one.'],
  }),
  'retreating-already': () => ({
    rule: 'retreating',
    text: 'You are retreating already.',
    ways: ['After each rappel: /retreat rappel. Climbing on again: /retreat stop.'],
  }),
  'not-retreating': () => ({
    rule: 'retreating',
    text: 'No retreat was told at that time.',
    ways: ['/retreat begin, with at: for when it began.'],
  }),
  'rappel-up': ({ pitch }) => ({
    rule: 'retreating',
    text: `A rappel goes down, and by then they were ${atStance(pitch ?? 0)}.`,
    ways: [
      '/retreat rappel station: is the number of the stance they are at now, 0 on the ground.',
    ],
  }),
  'not-raining': () => ({
    rule: 'rain',
    text: 'No rain was told.',
    ways: ['/rain start, with at: for when it began.'],
  }),
};
