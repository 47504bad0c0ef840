/** Plays a schedule on the real bot beside the desk's own facts, and holds one against the other. */
import { allAgree } from '../../helpers/agree.ts';
import { type Facts, levelDue, newFacts, owed, PHASE_NAMES } from './facts.ts';
import type { Op, Schedule } from './schedule.ts';
import { NONCE_MS, World } from './world.ts';

const MINUTE = 60_000;
/** 2031-06-12 06:00 in Oslo. */
const START_MS = Date.UTC(2031, 5, 12, 4, 0);
const TRIP = 't0000001';

type Group = '@field' | 'dana' | 'pal';
const GROUPS: readonly Group[] = ['@field', 'dana', 'pal'];

export class Violation extends Error {}

interface NoticeView {
  key: string;
  status: string;
  to: string;
  kind: string;
  raised?: number;
  seq?: number;
  sentAtMs?: number;
}

/** Agreed times are on the whole minute. */
const whole = (ms: number) => Math.floor(ms / MINUTE) * MINUTE;

class Run {
  readonly world = new World(START_MS);
  readonly facts: Facts = newFacts();
  /** Call ids and seqs of words that stand, newest last. */
  readonly words: { seq: number; index: number }[] = [];
  /** Ways that failed at any time since the last calm; a group with one may be late. */
  troubled = new Set<string>();
  clockWasSet = false;
  seen = 0;

  iso(ms: number): string {
    return new Date(ms).toISOString();
  }

  async open(schedule: Schedule): Promise<void> {
    const say = (path: string, args: object) => this.must('Mara', path, args);
    await say('trip open', { name: 'Harrow Tower', zone: 'Europe/Oslo', emergency: '112' });
    await say('roster add', { name: 'Mara', user: { id: 'u-mara', name: 'Mara' } });
    await say('roster add', {
      name: 'Greta',
      role: 'ground',
      user: { id: 'u-greta', name: 'Greta' },
    });
    await say('roster add', {
      name: 'Dana',
      role: 'contact',
      order: 1,
      user: { id: 'u-dana', name: 'Dana' },
      email: 'dana@example.org',
    });
    await say('roster add', { name: 'Pål', role: 'contact', order: 2, email: 'pal@example.org' });
    await allAgree(this.world.app, TRIP);
    await this.move(schedule.down, schedule.callout);
    await say('trip depart', {});
    const now = this.world.clock.wall;
    this.facts.departedMs = now;
    this.facts.words.push({ atMs: now, toldMs: now, struck: false });
  }

  /** What weakens the watch is asked back: Dana agrees. */
  async must(who: string, path: string, args: object): Promise<number> {
    const first = await this.world.say(who, path, args as never);
    const asked = first.code === 'watch-weaker' || first.code === 'second-person';
    const reply = asked ? await this.world.say('Dana', 'overdue agree', {}) : first;
    if (reply.refused === true) throw new Error(`${path} refused: ${JSON.stringify(reply.lines)}`);
    return (await this.world.store.trip(TRIP))?.seq ?? 0;
  }

  async move(downMin: number | undefined, calloutMin: number | undefined): Promise<void> {
    const now = this.world.clock.wall;
    const at = (min: number | undefined) =>
      min === undefined ? undefined : whole(now + min * MINUTE);
    const [down, callout] = [at(downMin) ?? this.facts.down, at(calloutMin) ?? this.facts.callout];
    if (downMin === undefined && calloutMin === undefined) return;
    if (down !== undefined && callout !== undefined && callout <= down) return;
    await this.must('Mara', 'checkin plan', {
      ...(downMin === undefined ? {} : { down: this.iso(at(downMin) as number) }),
      ...(calloutMin === undefined ? {} : { callout: this.iso(at(calloutMin) as number) }),
    });
    if (down !== undefined) this.facts.down = down;
    if (callout !== undefined) this.facts.callout = callout;
  }
}

async function act(run: Run, op: Op): Promise<void> {
  const { world, facts } = run;
  const now = world.clock.wall;
  const over = facts.downMs !== undefined;
  switch (op.op) {
    case 'pass':
      return world.pass(op.min * MINUTE);
    case 'word': {
      // Told times are on the whole minute.
      const agoMs = Math.floor((now - op.agoMin * MINUTE) / MINUTE) * MINUTE;
      const atMs = Math.max(agoMs, facts.departedMs ?? 0);
      const id = `word-${facts.words.length}-${now}`;
      const said = { at: run.iso(atMs), words: 'all well' };
      const before = (await world.store.trip(TRIP))?.seq;
      const first = await world.say('Greta', 'checkin ok', said, id);
      if (first.refused === true) return;
      const seq = (await world.store.trip(TRIP))?.seq ?? 0;
      if (op.twice) {
        const again = await world.say('Greta', 'checkin ok', said, id);
        const after = (await world.store.trip(TRIP))?.seq;
        if (after !== seq || JSON.stringify(again) !== JSON.stringify(first)) {
          throw new Violation('a repeated delivery changed something');
        }
      }
      if (seq === before) throw new Violation('a word was lost');
      run.words.push({ seq, index: facts.words.length });
      facts.words.push({ atMs, toldMs: now, struck: false });
      return;
    }
    case 'strike': {
      const last = run.words.pop();
      if (last === undefined || over) return;
      await run.must('Greta', 'pitch strike', { entry: last.seq });
      const word = facts.words[last.index];
      if (word !== undefined) word.struck = true;
      return;
    }
    case 'promise':
      if (over) return;
      await run.must('Mara', 'checkin plan', { once: run.iso(now + op.inMin * MINUTE) });
      facts.promises.push({ dueMs: whole(now + op.inMin * MINUTE), struck: false });
      return;
    case 'move':
      return over ? undefined : run.move(op.down, op.callout);
    case 'delays': {
      const args = { told: op.told, overdue: op.overdue, ...(op.pal ? { who: 'Pål' } : {}) };
      await run.must('Mara', 'overdue delays', args);
      const set = { contactMin: op.told, overdueMin: op.overdue };
      if (op.pal) facts.own = set;
      else facts.delays = set;
      return;
    }
    case 'ack':
      await world.say(op.who, 'overdue ack', op.who === 'Pål' ? { for: 'Pål' } : {});
      return;
    case 'called':
      await world.say('Dana', 'overdue resolve', { how: 'called' });
      return;
    case 'fault':
      world.faults.set(op.way, op.fault);
      run.troubled.add(op.way);
      return;
    case 'mend':
      world.faults.clear();
      return;
    case 'crash':
      world.dieAt = op.when;
      await world.pass(30 * MINUTE);
      if (world.dead) await downtime(run, op.downMin);
      world.dieAt = undefined;
      return;
    case 'stop':
      return downtime(run, op.downMin);
    case 'setClock':
      // Not to before the departure: the trip's own rules would refuse everything then.
      world.clock.wall = Math.max(now + op.byMin * MINUTE, (facts.departedMs ?? 0) + MINUTE);
      run.clockWasSet = true;
      return world.tick();
    case 'down':
      if (over) return;
      await run.must('Mara', 'trip down', { sure: true });
      facts.downMs = now;
      return;
  }
}

/** The process is gone for a while, then comes back. */
async function downtime(run: Run, min: number): Promise<void> {
  run.world.clock.pass(min * MINUTE);
  await run.world.restart();
  await run.world.tick();
}

async function notices(run: Run): Promise<NoticeView[]> {
  const rows = await run.world.store.notices(TRIP);
  return rows.map((row): NoticeView => {
    const data = row.data as { to: string; what: { kind: string; raised?: number; seq?: number } };
    return {
      key: row.key,
      status: row.status,
      to: data.to,
      kind: data.what.kind,
      ...(data.what.raised === undefined ? {} : { raised: data.what.raised }),
      ...(data.what.seq === undefined ? {} : { seq: data.what.seq }),
      ...(row.sentAtMs === undefined ? {} : { sentAtMs: row.sentAtMs }),
    };
  });
}

const WAYS_OF: Record<Group, readonly string[]> = {
  '@field': ['channel'],
  dana: ['dm:dana', 'email:dana'],
  pal: ['email:pal'],
};

/** Held after every step in which the watch was up and everything due has been done. */
async function check(run: Run): Promise<void> {
  const { world, facts } = run;
  if (world.dead) return;
  const now = world.clock.wall;
  const rows = await notices(run);
  const events = await world.store.events(TRIP);
  const raised = events.filter((e) => e.kind === 'watch.raised') as unknown as {
    seq: number;
    atMs: number;
    data: { phase: (typeof PHASE_NAMES)[number]; dueMs: number; to: string[] };
  }[];
  // Whoever is told instead of somebody unreachable knows as well.
  const instead = (seq: number) =>
    events.flatMap((e) => {
      const { raised: about, next } = e.data as { raised?: number; next?: string };
      return e.kind === 'watch.unreached' && about === seq && next !== undefined ? [next] : [];
    });
  shownOnce(run);
  noneTwice(raised);
  const stillOwed = new Set(owed(facts).map((o) => o.dueMs));
  for (const group of GROUPS) {
    const level = levelDue(facts, group, now);
    const known = raised.filter(
      (r) =>
        stillOwed.has(r.data.dueMs) &&
        (r.data.to.includes(group) || instead(r.seq).includes(group)),
    );
    const best = Math.max(-1, ...known.map((r) => PHASE_NAMES.indexOf(r.data.phase)));
    if (best < level) {
      throw new Violation(
        `${group} should know of ${PHASE_NAMES[level]} at ${run.iso(now)}, knows ${PHASE_NAMES[best] ?? 'nothing'}`,
      );
    }
    // Early is only what was meant for this group: told instead of another, one may hear sooner.
    const own = known.filter((r) => r.data.to.includes(group));
    const early = Math.max(-1, ...own.map((r) => PHASE_NAMES.indexOf(r.data.phase)));
    if (early > level && !run.clockWasSet && !changedDelays(run)) {
      throw new Violation(`${group} was told of ${PHASE_NAMES[early]} early, at ${run.iso(now)}`);
    }
    delivered(run, group, rows, known);
  }
  if (facts.downMs !== undefined) afterDown(run, rows);
  neverDropped(
    run,
    events,
    await world.store.nextDue(),
    raised.some((r) => stillOwed.has(r.data.dueMs)),
  );
}

/** Longer delays set after a phase was told don't untell it. */
function changedDelays(run: Run): boolean {
  const { delays, own } = run.facts;
  return delays.contactMin !== 30 || delays.overdueMin !== 120 || own.contactMin !== undefined;
}

/** A group with a working way has what it was to be told of; one without is said aloud. */
function delivered(run: Run, group: Group, rows: NoticeView[], known: { seq: number }[]): void {
  const working = WAYS_OF[group].some(
    (w) => (run.world.faults.get(w as never) ?? 'works') === 'works',
  );
  for (const { seq } of known) {
    const mine = rows.filter((r) => r.to === group && r.kind === 'phase' && r.raised === seq);
    if (mine.length === 0) throw new Violation(`no notice for ${group} about ${seq}`);
    const lost = mine.find((r) => r.status === 'expired');
    if (lost !== undefined) throw new Violation(`an alarm expired: ${lost.key}`);
    const pending = mine.some((r) => r.status === 'pending');
    const troubled = WAYS_OF[group].some((w) => run.troubled.has(w));
    if (pending && working && !troubled) throw new Violation(`${group} was not told of ${seq}`);
    if (mine.some((r) => r.status === 'failed')) {
      const said = rows.some((r) => r.kind === 'unreached');
      if (!said) throw new Violation(`${group} could not be told and nobody heard of it`);
    }
  }
}

/** The same message appears once for one person. */
function shownOnce(run: Run): void {
  const { shown } = run.world;
  for (let i = run.seen; i < shown.length; i++) {
    const one = shown[i];
    const before = shown.slice(0, i).find((s) => s.nonce === one?.nonce);
    if (before !== undefined) {
      throw new Violation(
        `shown twice by ${before.way} and ${one?.way}, ${((one?.monoMs ?? 0) - before.monoMs) / 1000} s apart (nonce holds ${NONCE_MS / 1000} s):\n${one?.text}`,
      );
    }
  }
  run.seen = shown.length;
}

/** One phase about one missed time is raised once for one person. */
function noneTwice(raised: { data: { phase: string; dueMs: number; to: string[] } }[]): void {
  const seen = new Set<string>();
  for (const { data } of raised) {
    for (const to of data.to) {
      const key = `${data.phase} ${data.dueMs} ${to}`;
      if (seen.has(key)) throw new Violation(`raised twice: ${key}`);
      seen.add(key);
    }
  }
}

/** Once everyone is down no alarm is shown any more. */
function afterDown(run: Run, rows: NoticeView[]): void {
  const late = rows.find(
    (r) =>
      r.kind === 'phase' &&
      r.sentAtMs !== undefined &&
      !run.clockWasSet &&
      r.sentAtMs > (run.facts.downMs ?? 0),
  );
  if (late !== undefined) throw new Violation(`an alarm after everyone was down: ${late.key}`);
}

/** While silence counts and something is owed, the watch has a next look or an alarm that stands. */
function neverDropped(
  run: Run,
  events: readonly unknown[],
  nextDue: number | undefined,
  stands: boolean,
): void {
  if (owed(run.facts).length === 0 || stands || nextDue !== undefined) return;
  throw new Violation(`nothing is watched after ${events.length} entries, though a word is owed`);
}

/** At the end: ways mended, a day passes, and everyone who was alarmed has heard the end of it. */
async function finish(run: Run): Promise<void> {
  run.world.faults.clear();
  if (run.facts.downMs === undefined) {
    await run.must('Mara', 'trip down', { sure: true });
    run.facts.downMs = run.world.clock.wall;
  }
  await run.world.pass(20 * MINUTE);
  await run.world.pass(24 * 60 * MINUTE);
  const rows = await notices(run);
  const waiting = rows.filter((r) => r.status === 'pending');
  if (waiting.length > 0)
    throw new Violation(`still waiting: ${waiting.map((r) => r.key).join(', ')}`);
  for (const group of GROUPS) {
    const alarms = rows.filter((r) => r.to === group && r.kind === 'phase' && r.status === 'sent');
    const last = Math.max(0, ...alarms.map((r) => r.raised ?? 0));
    if (last === 0) continue;
    const ends = rows.filter(
      (r) =>
        r.to === group && r.kind === 'ended' && (r.seq ?? 0) > last && r.status !== 'cancelled',
    );
    if (ends.length === 0)
      throw new Violation(`${group} was alarmed (${last}) and never heard the end`);
    const heard = ends.some((r) => r.status === 'sent');
    const said = rows.some((r) => r.kind === 'unreached');
    if (!heard && !said) throw new Violation(`${group} was not told that the alarm is over`);
  }
  await check(run);
}

export async function playSchedule(schedule: Schedule): Promise<{ shown: number; events: number }> {
  const run = new Run();
  try {
    await run.open(schedule);
    await run.world.tick();
    for (const op of schedule.ops) {
      await act(run, op);
      await run.world.tick();
      await check(run);
    }
    await finish(run);
    return { shown: run.world.shown.length, events: (await run.world.store.events(TRIP)).length };
  } finally {
    await run.world.close();
  }
}
