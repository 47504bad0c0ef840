import type { Fact } from '../../src/trip/fact.ts';

/**
 * What a trip's record may never say, checked in the plainest way from the events alone. Written
 * apart from the fold and the rules, on purpose: nothing of theirs is used here.
 */
export function violations(history: readonly Fact[], nowMs: number): string[] {
  const wrong: string[] = [];
  const say = (is: boolean, what: string) => {
    if (is) wrong.push(what);
  };
  say(
    history.some((e, i) => e.seq !== i + 1),
    'numbers not 1, 2, 3',
  );
  say(history[0]?.kind !== 'trip.opened', 'no opening first');
  say(history.filter((e) => e.kind === 'trip.opened').length > 1, 'opened twice');
  say(
    history.slice(0, -1).some((e) => e.kind === 'trip.closed'),
    'told after closing',
  );
  const standing = history.filter((e) => stands(e, history)).map((e) => amended(e, history));
  say(
    standing.some((e) => e.atMs > nowMs + 60_000),
    'a time to come',
  );
  const plan = planOf(standing);
  wrong.push(...plan.wrong);
  wrong.push(...wallWrongs(standing, plan));
  return wrong;
}

/** An entry stands unless a strike that stands names it. */
function stands(event: Fact, history: readonly Fact[]): boolean {
  return !history.some(
    (s) => s.kind === 'log.struck' && targetOf(s) === event.id && stands(s, history),
  );
}

function amended(event: Fact, history: readonly Fact[]): Fact {
  let out = event;
  for (const a of history) {
    if (a.kind !== 'log.amended' || targetOf(a) !== event.id || !stands(a, history)) continue;
    const { target: _, atMs, ...fields } = a.data as { target: string; atMs?: number };
    out = { ...out, atMs: atMs ?? out.atMs, data: { ...(out.data as object), ...fields } } as Fact;
  }
  return out;
}

const targetOf = (event: Fact) => (event.data as { target?: string }).target;

interface Someone {
  roles: string[];
  leads: boolean;
  here: boolean;
  climbed: boolean;
}

interface Plan {
  lengths: number[];
  people: Map<string, Someone>;
  wrong: string[];
}

/** Fields of the plan's posts that are read here. */
interface PlanData {
  id: string;
  number: number;
  first: number;
  pitches: { lengthM: number }[];
  fields: { roles: string[]; leads?: boolean };
  patch: { roles?: string[]; leads?: boolean };
  a: number;
  b: number;
  leader: string;
  leaderA: string;
  leaderB: string;
  settings?: { leadLineM?: number; leadMarginM?: number };
}

interface Building extends Plan {
  assigned: Map<number, string>;
  links: Set<number>;
  reachM: number;
}

function planOf(standing: readonly Fact[]): Plan {
  const plan: Building = {
    lengths: [],
    people: new Map(),
    wrong: [],
    assigned: new Map(),
    links: new Set(),
    reachM: 65,
  };
  for (const event of standing) {
    topoOf(plan, event);
    peopleOf(plan, event);
    leadsOf(plan, event);
  }
  const { wrong, lengths, people, assigned, links, reachM } = plan;
  for (const [pitch, id] of assigned) {
    if (pitch > lengths.length) wrong.push(`pitch ${pitch} assigned, not in the topo`);
    if (!mayLead(people.get(id))) wrong.push(`${id} is to lead and can't`);
  }
  for (const first of links) {
    const [a, b] = [lengths[first - 1], lengths[first]];
    if (a === undefined || b === undefined) wrong.push('a link off the topo');
    else if (a + b > reachM) wrong.push('a link longer than the rope');
    if (links.has(first + 1)) wrong.push('three pitches in a link');
  }
  if (people.size > 40) wrong.push('too many people');
  if ([...people.values()].filter((p) => p.here && p.roles.includes('climber')).length > 8) {
    wrong.push('too many climbers');
  }
  return plan;
}

function topoOf({ lengths, links, wrong }: Building, { kind, data }: Fact): void {
  const d = data as PlanData;
  if (kind === 'topo.loaded') {
    lengths.splice(0, lengths.length, ...d.pitches.map((p) => p.lengthM));
  }
  if (kind === 'topo.set') {
    const { number, lengthM } = (data as { pitch: { number: number; lengthM: number } }).pitch;
    if (number > lengths.length + 1) wrong.push('a hole in the topo');
    else lengths[number - 1] = lengthM;
  }
  if (kind === 'topo.removed') {
    if (d.number !== lengths.length) wrong.push('a pitch taken from the middle');
    else lengths.pop();
    links.delete(d.number - 1);
  }
}

function peopleOf({ people, assigned, wrong }: Building, { kind, data }: Fact): void {
  const d = data as PlanData;
  const person = people.get(d.id);
  if (kind === 'roster.added') {
    if (person !== undefined) wrong.push('one person twice');
    const { roles, leads = true } = d.fields;
    people.set(d.id, { roles, leads, here: true, climbed: roles.includes('climber') });
  }
  if (kind === 'roster.edited') {
    if (person === undefined) wrong.push('nobody was edited');
    else {
      person.roles = d.patch.roles ?? person.roles;
      person.leads = d.patch.leads ?? person.leads;
      person.climbed ||= person.roles.includes('climber');
    }
  }
  if (kind === 'roster.removed') {
    if (person?.here !== true) wrong.push('nobody left');
    else person.here = false;
  }
  // What is kept for somebody who leads no more goes back to the rotation.
  if (!kind.startsWith('roster.') || mayLead(people.get(d.id))) return;
  for (const [pitch, who] of assigned) if (who === d.id) assigned.delete(pitch);
}

function leadsOf(plan: Building, { kind, data }: Fact): void {
  const d = data as PlanData;
  const { pitch } = data as { pitch: number };
  const { assigned, links, wrong } = plan;
  if (kind === 'lead.assigned') assigned.set(pitch, d.leader);
  if (kind === 'lead.swapped') assigned.set(d.a, d.leaderB).set(d.b, d.leaderA);
  if (kind === 'lead.cleared') assigned.delete(pitch);
  if (kind === 'lead.linked') links.add(d.first);
  if (kind === 'lead.unlinked' && !links.delete(d.first)) wrong.push('no link to undo');
  if (kind === 'trip.edited' && d.settings !== undefined) {
    const { leadLineM = 70, leadMarginM = 5 } = d.settings;
    plan.reachM = leadLineM - leadMarginM;
  }
}

function mayLead(person: Someone | undefined): boolean {
  return person?.here === true && person.leads && person.roles.includes('climber');
}

const MARKS = ['started', 'fixed', 'done'] as const;

function wallWrongs(standing: readonly Fact[], { lengths, people }: Plan): string[] {
  const wrong: string[] = [];
  const times = Object.fromEntries(MARKS.map((m) => [m, new Map<number, number>()])) as Record<
    (typeof MARKS)[number],
    Map<number, number>
  >;
  for (const { kind, data, atMs } of standing) {
    const { pitch, leader } = data as { pitch: number; leader?: string };
    const mark = MARKS.find((m) => kind === `pitch.${m}`);
    if (kind.startsWith('pitch.') && pitch > lengths.length) wrong.push('told of no such pitch');
    if (mark === undefined) continue;
    if (times[mark].has(pitch)) wrong.push(`pitch ${pitch} ${mark} twice`);
    times[mark].set(pitch, atMs);
    if (leader !== undefined && people.get(leader)?.climbed !== true) wrong.push(`${leader} led`);
  }
  const { started, fixed, done } = times;
  const top = Math.max(0, ...MARKS.flatMap((m) => [...times[m].keys()]));
  for (let n = 1; n <= top; n++) {
    if (n < Math.max(0, ...done.keys()) && !done.has(n)) wrong.push(`pitch ${n} left out`);
    if (n < top && !fixed.has(n) && !done.has(n)) wrong.push(`pitch ${n} not reached`);
    const own = MARKS.flatMap((m) => times[m].get(n) ?? []);
    if (own.some((t, i) => i > 0 && t < (own[i - 1] as number))) wrong.push(`pitch ${n} backwards`);
    for (let above = n + 1; above <= top; above++) {
      const before = (a: number | undefined, b: number | undefined) =>
        a !== undefined && b !== undefined && b < a;
      for (const mark of MARKS) {
        if (before(times[mark].get(n), times[mark].get(above))) wrong.push(`${above} before ${n}`);
      }
      if (before(fixed.get(n), started.get(above))) wrong.push(`${above} started on no rope`);
    }
  }
  wrong.push(
    ...phaseWrongs(
      standing,
      MARKS.flatMap((m) => [...times[m].values()]),
    ),
  );
  wrong.push(...breakWrongs(standing, started, done), ...turnWrongs(standing, lengths.length));
  return wrong;
}

function phaseWrongs(standing: readonly Fact[], marks: readonly number[]): string[] {
  const wrong: string[] = [];
  const of = (kind: string) => standing.filter((e) => e.kind === kind);
  const [left, down] = [of('trip.departed'), of('trip.down')];
  if (left.length > 1 || down.length > 1) wrong.push('a phase twice');
  const [leftMs = Number.NEGATIVE_INFINITY, downMs = Number.POSITIVE_INFINITY] = [
    left[0]?.atMs,
    down[0]?.atMs,
  ];
  if (marks.some((t) => t < leftMs)) wrong.push('climbed before leaving');
  if (marks.some((t) => t > downMs)) wrong.push('climbed after coming down');
  if (downMs < leftMs) wrong.push('down before leaving');
  for (const [begin, end] of [
    ['rain.started', 'rain.stopped'],
    ['bivy.settled', 'bivy.left'],
    ['retreat.began', 'retreat.stopped'],
  ] as const) {
    const turns = standing
      .filter((e) => e.kind === begin || e.kind === end)
      .sort((a, b) => a.atMs - b.atMs || a.seq - b.seq);
    if (turns.some((e, i) => e.kind !== (i % 2 === 0 ? begin : end))) wrong.push(`${begin} twice`);
  }
  return wrong;
}

/** What is told of a retreat, of the way down and of waits, told one after the other. */
function turnWrongs(standing: readonly Fact[], pitches: number): string[] {
  const wrong: string[] = [];
  const downMs = standing.find((e) => e.kind === 'trip.down')?.atMs ?? Number.POSITIVE_INFINITY;
  let stance: number | undefined;
  let waits = false;
  let since = 0;
  for (const { kind, data, atMs } of [...standing].sort(
    (a, b) => a.atMs - b.atMs || a.seq - b.seq,
  )) {
    const d = data as { pitch: number; station: number };
    if (/^(retreat|descent|wait\.began)/.test(kind) && atMs > downMs)
      wrong.push(`${kind} after down`);
    if (kind === 'retreat.began') [stance, since] = [d.pitch, atMs];
    if (kind === 'retreat.began' && d.pitch > pitches) wrong.push('down from nowhere');
    if (kind === 'retreat.stopped') stance = undefined;
    if (kind === 'retreat.rappelled') {
      if (stance === undefined || d.station > stance)
        wrong.push('a rappel up, or without a retreat');
      stance = d.station;
    }
    if (kind === 'wait.ended' && !waits) wrong.push('no wait to end');
    if (kind.startsWith('wait.')) waits = kind === 'wait.began';
    const climbs = MARKS.some((m) => kind === `pitch.${m}`);
    if (climbs && stance !== undefined && atMs > since) {
      // Told for the very minute in which the retreat stopped: they had climbed on.
      const stopped = standing.some((e) => e.kind === 'retreat.stopped' && e.atMs === atMs);
      if (!stopped) wrong.push('climbed while coming down');
    }
  }
  return wrong;
}

function breakWrongs(
  standing: readonly Fact[],
  started: ReadonlyMap<number, number>,
  done: ReadonlyMap<number, number>,
): string[] {
  const wrong: string[] = [];
  const breaks = standing
    .filter((e) => e.kind === 'pitch.break')
    .map(({ atMs, data }) => {
      const { pitch, minutes } = data as { pitch: number; minutes: number };
      return { pitch, fromMs: atMs - minutes * 60_000, toMs: atMs };
    });
  for (const [i, a] of breaks.entries()) {
    for (const b of breaks.slice(i + 1)) {
      if (a.fromMs < b.toMs && b.fromMs < a.toMs) wrong.push('two breaks at once');
    }
    const fromMs = started.get(a.pitch) ?? done.get(a.pitch - 1) ?? Number.NEGATIVE_INFINITY;
    if (a.fromMs < fromMs) wrong.push('a break before its pitch');
    if (a.toMs > (done.get(a.pitch) ?? Number.POSITIVE_INFINITY)) {
      wrong.push('a break after its pitch');
    }
  }
  return wrong;
}
