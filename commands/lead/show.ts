import type { App } from '../../src/app/app.ts';
import type { Call } from '../../src/app/command.ts';
import {
  ceilingWords,
  laterWords,
  leadWords,
  nextLead,
  pitchWords,
  reasonWords,
} from '../../src/app/words/lead.ts';
import { look } from '../../src/record/trips.ts';
import type { Line, Reply, Table } from '../../src/say/reply.ts';
import { type Lead, leads } from '../../src/trip/rotation.ts';
import { climbers, linkEndsAt, nameOf, type TripState } from '../../src/trip/state.ts';
import { gradeText } from '../../src/trip/topo.ts';
import { lengthText } from '../../src/trip/units.ts';

/** Who leads next, which pitch, and why. */
export async function leadNext(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  return { lines: nextLines(state) };
}

export function nextLines(state: TripState): Line[] {
  if (state.pitches.length === 0) return ['No topo yet: /topo load.'];
  if (climbers(state).length === 0) return ['Nobody climbs yet: /roster add.'];
  const next = nextLead(state);
  if (next === undefined) return [`All ${state.pitches.length} pitches are done.`];
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
  ];
}

/** The whole rotation, and each climber's share. */
export async function leadPlan(app: App, call: Call): Promise<Reply> {
  const { state } = await look(app, call);
  if (state.pitches.length === 0) return { lines: ['No topo yet: /topo load.'] };
  const { order } = state;
  const rule =
    order.rule === 'swing'
      ? 'Swing leads'
      : order.rule === 'block'
        ? `Block leads of ${order.n}`
        : order.from === 'fastest'
          ? 'Fastest order'
          : 'Leads by list';
  const above = leads(state).filter(
    (l) => l.aboveCeiling && state.pitches[l.pitch - 1]?.done === undefined,
  );
  return {
    lines: [`${rule}: ${state.pitches.length} pitches.`],
    table: planTable(state),
    after: [
      ...shares(state),
      ...above.map((l) => {
        const could = l.could.map((id) => nameOf(state, id)).join(' or ');
        const pitch = state.pitches[l.pitch - 1];
        return `Warning: ${l.pitch} (${pitch === undefined ? '' : gradeText(pitch)}) is above ${nameOf(state, l.leader ?? '')}'s ceiling. ${could === '' ? 'Nobody has it within theirs.' : `${could} could.`}`;
      }),
      ...givenAway(above[0]),
    ],
  };
}

/** The way out of a lead above a ceiling. */
function givenAway(lead: Lead | undefined): Line[] {
  const [who] = lead?.could ?? [];
  if (lead === undefined || who === undefined) return [];
  return [['To give it away: ', { code: `/lead assign pitch:${lead.pitch} leader:${who}` }]];
}

const WHY = {
  told: '',
  assigned: 'set',
  swapped: 'swap',
  link: 'link',
  swing: '',
  block: '',
  list: '',
};

function planTable(state: TripState): Table {
  return {
    head: ['', state.units, 'grade', 'leads', 'belays', ''],
    align: ['right', 'right', 'left', 'left', 'left', 'left'],
    rows: leads(state).map((lead, i) => {
      const pitch = state.pitches[i];
      const done = pitch?.done !== undefined;
      const flags = [
        done ? 'done' : WHY[lead.reason.why],
        lead.aboveCeiling && !done ? 'above' : '',
      ];
      return [
        `${lead.pitch}${linkEndsAt(state, lead.pitch) ? '+' : ''}`,
        pitch === undefined ? '' : lengthText(pitch.lengthM, state.units).replace(/ .*/, ''),
        pitch === undefined ? '' : gradeText(pitch),
        lead.leader === undefined ? '-' : nameOf(state, lead.leader),
        lead.belayer === undefined ? '-' : nameOf(state, lead.belayer),
        flags.filter(Boolean).join(' '),
      ];
    }),
  };
}

/** `Mara 4 pitches, 152 m.` for each; a link counts its pitches. */
function shares(state: TripState): string[] {
  const totals = new Map<string, { pitches: number; lengthM: number }>();
  for (const person of climbers(state)) totals.set(person.id, { pitches: 0, lengthM: 0 });
  for (const [i, { leader }] of leads(state).entries()) {
    if (leader === undefined) continue;
    const sum = totals.get(leader) ?? { pitches: 0, lengthM: 0 };
    sum.pitches += 1;
    sum.lengthM += state.pitches[i]?.lengthM ?? 0;
    totals.set(leader, sum);
  }
  return [...totals].map(
    ([id, { pitches, lengthM }]) =>
      `${nameOf(state, id)} ${pitches} ${pitches === 1 ? 'pitch' : 'pitches'}, ${lengthText(lengthM, state.units)}.`,
  );
}
