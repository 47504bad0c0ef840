import { sub } from '../../src/app/command.ts';
import { look } from '../../src/record/trips.ts';
import type { Line, Table } from '../../src/say/reply.ts';
import { type Lead, leads, leadsOnRope } from '../../src/trip/rotation.ts';
import { climbers, linkEndsAt, nameOf, type TripState } from '../../src/trip/state.ts';
import { gradeText } from '../../src/trip/topo.ts';
import { ropesOf, toldRopes } from '../../src/trip/two-ropes.ts';
import { lengthText } from '../../src/trip/units.ts';
import { ropeLines } from './words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'lead plan': typeof options;
  }
}

export const plan = sub({
  description: "The whole rotation and everybody's share",
  access: 'look',
  counts: ['forecast'],
  options,
  async run(call, _args, app) {
    const { state } = await look(app, call);
    if (state.pitches.length === 0) return { lines: ['No topo yet: /topo load.'] };
    const above = leads(state).filter(
      (l) => l.aboveCeiling && state.pitches[l.pitch - 1]?.done === undefined,
    );
    return {
      lines: [`${ruleWords(state)}: ${state.pitches.length} pitches.`],
      table: planTable(state),
      after: [
        ...ropeLines(state),
        ...shares(state),
        ...above.map((lead) => aboveWords(state, lead)),
        ...givenAway(above[0]),
      ],
    };
  },
});

function ruleWords({ order }: TripState): string {
  if (order.rule === 'swing') return 'Swing leads';
  if (order.rule === 'block') return `Block leads of ${order.n}`;
  return order.from === 'fastest' ? 'Fastest order' : 'Leads by list';
}

function aboveWords(state: TripState, lead: Lead): string {
  const could = lead.could.map((id) => nameOf(state, id)).join(' or ');
  const pitch = state.pitches[lead.pitch - 1];
  const grade = pitch === undefined ? '' : gradeText(pitch);
  const who = nameOf(state, lead.leader ?? '');
  const within = could === '' ? 'Nobody leads that.' : `${could} could.`;
  return `Warning: ${lead.pitch} (${grade}) is harder than ${who} leads. ${within}`;
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
  const behind = toldRopes(state) ? ropesOf(state).slice(1) : [];
  const all = [...leads(state), ...behind.flatMap((_, i) => leadsOnRope(state, i + 2))];
  for (const { leader, pitch } of all) {
    if (leader === undefined) continue;
    const sum = totals.get(leader) ?? { pitches: 0, lengthM: 0 };
    sum.pitches += 1;
    sum.lengthM += state.pitches[pitch - 1]?.lengthM ?? 0;
    totals.set(leader, sum);
  }
  return [...totals].map(
    ([id, { pitches, lengthM }]) =>
      `${nameOf(state, id)} ${pitches} ${pitches === 1 ? 'pitch' : 'pitches'}, ${lengthText(lengthM, state.units)}.`,
  );
}
