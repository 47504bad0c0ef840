import { lastRope } from '../../forecast/rope-behind.ts';
import type { Line } from '../../say/reply.ts';
import { dayClock } from '../../time/format.ts';
import { convertGrade } from '../../trip/grade.ts';
import type { Person } from '../../trip/people.ts';
import {
  asLed,
  type Lead,
  type LeadReason,
  leads,
  leadsOnRope,
  overCeiling,
} from '../../trip/rotation.ts';
import {
  climbers,
  currentPitch,
  linkStartsAt,
  nameOf,
  type PitchState,
  personById,
  pitchAt,
  type TripState,
} from '../../trip/state.ts';
import { gradeText, modeOf, STANCE_WORDS } from '../../trip/topo.ts';
import { ropeMarks, ropesBelow, ropesOf, toldRopes } from '../../trip/two-ropes.ts';
import { lengthText } from '../../trip/units.ts';
import { partNames } from '../parts.ts';

/** `pitch 6, 38 m, 6b`; a link as `pitches 6 and 7 linked, 58 m, 6b and 5c`. */
export function pitchWords(state: TripState, pitch: PitchState): string {
  const above = linkStartsAt(state, pitch.number) ? pitchAt(state, pitch.number + 1) : undefined;
  if (above === undefined) {
    return `pitch ${pitch.number}, ${lengthText(pitch.lengthM, state.units)}, ${gradeText(pitch)}`;
  }
  const length = lengthText(pitch.lengthM + above.lengthM, state.units);
  return `pitches ${pitch.number} and ${above.number} linked, ${length}, ${gradeText(pitch)} and ${gradeText(above)}`;
}

/** Where the belayer hangs or stands while this pitch is led. */
function stanceWords(state: TripState, number: number): string {
  const below = pitchAt(state, number - 1);
  if (below === undefined) return 'from the ground';
  return `at a ${STANCE_WORDS[below.stance]}`;
}

/** `Ines leads free, Jonas belays at a hanging stance.` */
export function leadWords(state: TripState, lead: Lead, pitch: PitchState): string {
  if (lead.leader === undefined) return 'Nobody on the roster may lead: /roster add, /roster edit.';
  const who = `${nameOf(state, lead.leader)} leads ${modeOf(asLed(state, pitch, lead.leader)) === 'aid' ? 'on aid' : 'free'}`;
  if (lead.belayer === undefined) return `${who}; nobody else is there to belay.`;
  return `${who}, ${nameOf(state, lead.belayer)} belays ${stanceWords(state, pitch.number)}.`;
}

/** `Swing order; Mara led 5.` */
export function reasonWords(state: TripState, reason: LeadReason): string {
  switch (reason.why) {
    case 'told':
      return 'As told with its start.';
    case 'assigned':
      return `Assigned by ${reason.by}.`;
    case 'swapped':
      return `Swapped by ${reason.by}.`;
    case 'link':
      return `One lead with pitch ${reason.first}.`;
    case 'swing': {
      const { after } = reason;
      return after === undefined
        ? 'Swing order; first lead.'
        : `Swing order; ${nameOf(state, after.leader)} ${ledOrLeads(state, after.pitch)} ${after.pitch}.`;
    }
    case 'block':
      return `Block leads; ${reason.nth} of ${reason.n}.`;
    case 'list':
      return reason.from === 'fastest' ? 'From the fastest order.' : 'From the list.';
  }
}

function ledOrLeads(state: TripState, number: number): string {
  return pitchAt(state, number)?.done === undefined ? 'leads' : 'led';
}

/** `Ines leads to 6c.`, or a warning with who could lead it. */
export function ceilingWords(state: TripState, lead: Lead, pitch: PitchState): string | undefined {
  if (lead.leader === undefined) return undefined;
  const person = personById(state, lead.leader);
  if (person === undefined) return undefined;
  const led = asLed(state, pitch, lead.leader);
  const ceiling = ceilingText(person, led, overCeiling(person, led) ?? modeOf(led));
  if (ceiling === undefined) return undefined;
  if (!lead.aboveCeiling) return `${person.name} leads to ${ceiling}.`;
  const could = lead.could.map((id) => nameOf(state, id)).join(' or ');
  const rest = could === '' ? 'Nobody on the roster leads that.' : `${could} could.`;
  return `Warning: ${person.name} leads to ${ceiling}, and this is harder. ${rest}`;
}

/** `6c`; in the pitch's own system as well when it is another: `5.11a (6c)`. */
function ceilingText(person: Person, pitch: PitchState, way: 'free' | 'aid'): string | undefined {
  const { free, aid } = person;
  if (way === 'aid' || free === undefined) return way === 'aid' ? aid?.text : undefined;
  const system = pitch.free?.system;
  if (system === undefined || system === free.system) return free.text;
  return `${free.text} (${convertGrade(free, system)})`;
}

export interface NextLead {
  lead: Lead;
  pitch: PitchState;
  /** The leads after it, to the top. */
  later: readonly Lead[];
}

/** The lead under way or to come; undefined at the top or without a topo. */
export function nextLead(state: TripState): NextLead | undefined {
  const pitch = currentPitch(state);
  if (pitch === undefined) return undefined;
  const all = leads(state);
  const lead = all[pitch.number - 1];
  if (lead === undefined) return undefined;
  return { lead, pitch, later: all.slice(pitch.number) };
}

/** `7 Jonas, 8 Mara (A2)`; aid pitches carry their grade. */
export function laterWords(state: TripState, later: readonly Lead[], most = 3): string {
  return later
    .slice(0, most)
    .map((lead) => {
      const pitch = pitchAt(state, lead.pitch);
      const led = pitch && asLed(state, pitch, lead.leader);
      const aid = led !== undefined && modeOf(led) === 'aid' ? ` (${gradeText(led)})` : '';
      return `${lead.pitch} ${lead.leader === undefined ? 'nobody' : nameOf(state, lead.leader)}${aid}`;
    })
    .join(', ');
}

/** Who leads next, which pitch, and why: two lines or three. */
export function nextLines(state: TripState): Line[] {
  if (state.pitches.length === 0) return ['No topo yet: /topo load.'];
  if (climbers(state).length === 0) return ['Nobody climbs yet: /roster add.'];
  const next = nextLead(state);
  const behind = behindLines(state);
  if (next === undefined) {
    if (ropesBelow(state).length === 0) return [`All ${state.pitches.length} pitches are done.`];
    return [[`${partNames(state, ropesOf(state)[0] ?? [])} on top.`, ...behind].join(' ')];
  }
  const { lead, pitch, later } = next;
  const ceiling = ceilingWords(state, lead, pitch);
  const warning = lead.aboveCeiling && ceiling !== undefined;
  const rest = laterWords(state, later);
  return [
    `${pitch.started === undefined ? 'Next' : 'Now'}: ${pitchWords(state, pitch)}. ${leadWords(state, lead, pitch)}`,
    ...(warning ? [ceiling] : []),
    [
      reasonWords(state, lead.reason),
      ...(ceiling === undefined || warning ? [] : [ceiling]),
      ...(rest === '' ? [] : [`Then: ${rest}.`]),
    ].join(' '),
    ...behind,
  ];
}

/** `Behind: pitch 4. Ines leads free, Pål belays at a ledge.` for each rope behind the first that was told of. */
function behindLines(state: TripState): string[] {
  if (!toldRopes(state)) return [];
  const marks = ropeMarks(state);
  return ropesOf(state)
    .slice(1)
    .flatMap((_, i) => {
      const done = marks.find((m) => m.rope === i + 2)?.pitch ?? 0;
      const lead = leadsOnRope(state, i + 2)[done];
      const pitch = pitchAt(state, done + 1);
      if (lead === undefined || pitch === undefined) return [];
      return [`Behind: pitch ${pitch.number}. ${leadWords(state, lead, pitch)}`];
    });
}

/** `This is for Ines and Pål, the last rope: pitch 2 done 10:40.`; where the forecast is theirs. */
export function lastRopeWords(state: TripState, nowMs: number): string | undefined {
  const last = lastRope(state);
  if (last === undefined) return undefined;
  const { pitch, atMs } = last.told;
  const at = dayClock(state.zone, atMs, nowMs);
  return `This is for ${partNames(state, last.people)}, the last rope: pitch ${pitch} done ${at}.`;
}

/** `That was the last pitch.`, or who is still to come. */
function atTopWords(state: TripState): string {
  const below = ropesBelow(state).map(({ rope, pitch }) => {
    const who = partNames(state, ropesOf(state)[rope - 1] ?? []);
    return `${who}, ${state.pitches.length - pitch} to go`;
  });
  return below.length === 0 ? 'That was the last pitch.' : `Behind: ${below.join('; ')}.`;
}

/** `Next: Ines, pitch 6.`; what follows a post. */
export function nextWords(state: TripState): string {
  const next = nextLead(state);
  if (next === undefined) return state.pitches.length === 0 ? '' : atTopWords(state);
  const { lead, pitch } = next;
  const who = lead.leader === undefined ? 'nobody may lead' : nameOf(state, lead.leader);
  const number = linkStartsAt(state, pitch.number)
    ? `pitches ${pitch.number} and ${pitch.number + 1}`
    : `pitch ${pitch.number}`;
  const could = lead.could.map((id) => nameOf(state, id)).join(' or ');
  const warning = lead.aboveCeiling
    ? ` (harder than they lead${could === '' ? '' : `; ${could} could`})`
    : '';
  return `${(pitch.started ?? pitch.fixed) === undefined ? 'Next' : 'Now'}: ${who}, ${number}${warning}.`;
}
