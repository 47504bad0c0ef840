/**
 * Plays a history on the rules of the alarm, as the commands and the loop would, and holds each step
 * against what must be true whatever happens.
 */
import { deadlinesOf } from '../../../src/alarm/deadlines.ts';
import { deriveWatch } from '../../../src/alarm/derive.ts';
import { unmet, watched } from '../../../src/alarm/expectations.ts';
import {
  phaseNow,
  phasesToTell,
  rankOf,
  reached,
  standing,
  toldOf,
} from '../../../src/alarm/ladder.ts';
import { noticeData } from '../../../src/alarm/notice.ts';
import { renderNotice } from '../../../src/alarm/render.ts';
import { calledSince } from '../../../src/alarm/repeats.ts';
import { weaker } from '../../../src/alarm/weaker.ts';
import { reachable } from '../../../src/alarm/who.ts';
import { bare } from '../../../src/say/message.ts';
import { admit } from '../../../src/trip/admit.ts';
import { openTroubles } from '../../../src/trip/conditions.ts';
import type { Fact, RawFact } from '../../../src/trip/fact.ts';
import { type Folded, folded } from '../../../src/trip/fold.ts';
import { toppedOutMs } from '../../../src/trip/mode.ts';
import type { TripState } from '../../../src/trip/state.ts';
import type { Raised } from '../../../src/trip/watch-state.ts';
import { DAWN_MS, HOUR, MINUTE, opened } from '../trip.ts';
import { Broken, onePlanANumber, taken, troubleEndsRightly } from './bound.ts';
import type { History, Move } from './moves.ts';

const TRIP = 'tr1p0001';
const DAY = 24 * HOUR;

interface Told {
  kind: string;
  data?: object;
  atMs?: number;
}

export interface Played {
  /** How often each thing was met, so that a run that tests nothing is seen. */
  met: Map<string, number>;
}

/** One trip under way. */
class Run {
  record: Folded;
  nowMs = DAWN_MS;
  readonly met: Map<string, number>;
  clockWasSet = false;
  /** The plan that a button of each number belongs to. */
  readonly plans = new Map<number, string>();

  constructor(met: Map<string, number>) {
    this.met = met;
    this.record = folded(TRIP, opened(TRIP).events);
  }

  get history(): readonly Fact[] {
    return this.record.history;
  }

  get state(): TripState {
    return this.record.state;
  }

  count(what: string): void {
    this.met.set(what, (this.met.get(what) ?? 0) + 1);
  }

  /** Through the gate; false when it was refused. Every step is held against the invariants. */
  tell(...all: Told[]): boolean {
    const raws = all.map(({ kind, data = {}, atMs = this.nowMs }, i): RawFact => {
      const seq = this.state.seq + 1 + i;
      const by = { id: 'u-mara', name: 'Mara' };
      return {
        trip: TRIP,
        seq,
        id: `${TRIP}-e${seq}`,
        kind,
        atMs,
        recordedAtMs: this.nowMs,
        by,
        data,
      };
    });
    const admitted = admit(this.record, raws, this.nowMs);
    if (!admitted.ok) return false;
    const before = this.state;
    const { facts } = admitted.value;
    this.record = admitted.value.after;
    const after = this.state;
    endsRightly(this, before, facts);
    troubleEndsRightly(before, after, facts);
    onePlanANumber(after, this.plans);
    return true;
  }

  /** What the loop does when a deadline rings. */
  raise(): void {
    // Two troubles may become distress at one moment: each is told.
    for (let look = 0; look < 4; look++) {
      for (const { phase, root, to } of phasesToTell(this.state, this.nowMs)) {
        this.count(`${phase} about ${root.kind}`);
        this.tell({ kind: 'watch.raised', data: { phase, root: root.key, dueMs: root.dueMs, to } });
      }
    }
    const left = phasesToTell(this.state, this.nowMs);
    if (left.length > openTroubles(this.state).length)
      throw new Broken(`told, and still to be told: ${left[0]?.phase}`);
  }

  /** Silence until then: all that falls due on the way is done. */
  silence(untilMs: number): void {
    for (let steps = 0; ; steps++) {
      this.raise();
      const next = nextDeadline(this.state, this.nowMs, RAISES);
      if (next === undefined || next > untilMs) break;
      if (steps > 2000) throw new Broken('the watch does not come to rest');
      this.nowMs = next;
    }
    this.nowMs = Math.max(this.nowMs, untilMs);
    this.raise();
  }
}

/** Deadlines at which something new may have to be raised. */
const RAISES = /^(due|uncertainty|alert|distress|look)/;

function nextDeadline(state: TripState, nowMs: number, which = /./): number | undefined {
  const ahead = deadlinesOf(state, nowMs).flatMap((d) =>
    d.dueAtMs > nowMs && which.test(d.key) ? [d.dueAtMs] : [],
  );
  return ahead.length === 0 ? undefined : Math.min(...ahead);
}

const name = (r: Raised) => `${r.phase} about ${r.root}`;

/**
 * An alarm ends by a word that answers it, by the end of a trouble, or by all being down; otherwise only by a
 * change that is known to weaken the watch, and then nobody is told that anybody was heard from.
 */
function endsRightly(run: Run, before: TripState, facts: readonly Fact[]): void {
  const { state: after, nowMs } = run;
  const stands = new Set(standing(after).map((r) => r.seq));
  const gone = standing(before).filter((r) => !stands.has(r.seq));
  const known = new Set(before.watch.signs.map((s) => `${s.seq} ${s.atMs}`));
  const news = after.watch.signs.filter((s) => !known.has(`${s.seq} ${s.atMs}`));
  const down = after.downAtMs !== undefined && before.downAtMs === undefined;
  const over = openTroubles(after).length < openTroubles(before).length;
  const weak = weaker(before, after, nowMs).length > 0;
  for (const raised of gone) {
    run.count('an alarm ends');
    // A word that is struck takes with it what was expected because of it.
    const lost = after.watch.signs.length < before.watch.signs.length;
    if (lost && (raised.root === 'again' || raised.root === 'silence')) continue;
    if (down || weak || (over && raised.root.startsWith('trouble:'))) continue;
    // A time that nobody agreed on is reckoned from the last word, so any word moves it.
    const follows = raised.root === 'again' || raised.root === 'silence';
    const answers = news.some((s) => follows || s.atMs >= raised.dueMs - HOUR);
    const onTop = raised.root === 'topout' && toppedOutMs(after) !== undefined;
    // The evening's settling is the night's check-in.
    const settled =
      raised.root.startsWith('nightly:') && after.nights.length > before.nights.length;
    // A trouble that ends by being out leaves nothing to be seen of it.
    if (answers || onTop || settled) continue;
    throw new Broken(`${name(raised)} ended by ${facts.map((f) => f.kind).join()}`);
  }
  const { notices } = deriveWatch({ before, after, events: facts, nowMs });
  const heardOf = news.length > 0 || down || over;
  for (const notice of notices) {
    const data = noticeData.parse(notice.data);
    const rendered = renderNotice(after, data, { nowMs, organizer: 'o@example.org' });
    if (data.what.kind !== 'ended') continue;
    if (!('send' in rendered))
      throw new Broken(`the end was not told to ${data.to}: ${rendered.drop}`);
    const text = rendered.send.lines.map(bare).join(' ');
    if (!heardOf && /alarm is over|were heard from/.test(text)) {
      throw new Broken(`said to be over by ${facts.map((f) => f.kind).join()}: ${text}`);
    }
  }
  // Whoever was told of an alarm hears how it ended, whatever happened to the roster.
  const [was, is] = [reached(before), reached(after)];
  for (const group of was.keys()) {
    if (is.has(group)) continue;
    const told = notices.some((n) => {
      const { to, what } = noticeData.parse(n.data);
      return to === group && what.kind === 'ended';
    });
    if (!told) throw new Broken(`${group} never hears how the alarm ended`);
  }
}

/** Whoever was told of the nth-last step presses a button of it. */
function press(run: Run, { button, back, who }: Extract<Move, { do: 'press' }>): boolean {
  const { state, nowMs } = run;
  const raised = state.watch.raised.at(-1 - back);
  if (raised === undefined || !toldOf(state, raised).includes(who)) return false;
  if (!taken(state, raised, who, nowMs)) return false;
  if (button === 'ack') return run.tell({ kind: 'watch.acked', data: { person: who } });
  return run.tell(
    button === 'fine' ? { kind: 'watch.ok', data: { how: 'reached' } } : { kind: 'watch.called' },
  );
}

/** The buttons of what was told of late, whoever has them in front of them. */
function everyButton(run: Run): void {
  const { state, nowMs } = run;
  for (const raised of state.watch.raised.slice(-4)) {
    for (const who of toldOf(state, raised))
      run.count(`a button is ${taken(state, raised, who, nowMs) ? 'taken' : 'over'}`);
  }
}

/** Departed and not all down: there is a next look, in time. */
function watchedOn(run: Run): void {
  const { state, nowMs } = run;
  if (!watched(state)) return;
  if (unmet(state).length === 0) throw new Broken('departed, and nothing is awaited');
  const now = phaseNow(state);
  if (now !== undefined && calledSince(state, now)) return;
  const next = nextDeadline(state, nowMs);
  const agreed = unmet(state).find((e) => e.dueMs > nowMs && e.kind !== 'silence')?.dueMs ?? 0;
  if (next === undefined) throw new Broken('departed, and no next look');
  // Within a day, or at a time that the party itself agreed on.
  if (next > Math.max(nowMs + DAY, agreed))
    throw new Broken(`the next look is ${(next - nowMs) / HOUR} h away`);
}

/** From here silence alone leads everybody to distress, and every missed night is told on the way. */
function reachesDistress(from: Run): void {
  const run = new Run(from.met);
  Object.assign(run, { record: from.record, nowMs: from.nowMs });
  if (!watched(run.state)) return;
  const awaited = unmet(run.state).filter((e) => e.kind === 'callout' || e.kind === 'silence');
  const lastMs = Math.max(run.nowMs, ...awaited.map((e) => e.dueMs));
  const first = phaseNow(run.state);
  if (first !== undefined && calledSince(run.state, first)) return;
  run.silence(lastMs);
  run.count('distress by silence');
  if (phaseNow(run.state)?.phase !== 'distress') {
    throw new Broken(`silence leads to ${phaseNow(run.state)?.phase ?? 'nothing'} only`);
  }
  const told = reached(run.state);
  for (const group of ['@field', ...reachable(run.state).map((p) => p.id)]) {
    if (told.get(group)?.phase !== 'distress') throw new Broken(`${group} never hears of distress`);
  }
  everyNight(run);
}

/** For every missed night something at least as serious was told since shortly before it. */
function everyNight(run: Run): void {
  if (run.clockWasSet) return;
  const { state, nowMs } = run;
  for (const night of unmet(state).filter((e) => e.kind === 'nightly')) {
    if (
      night.dueMs +
        Math.max(state.watch.delays.alertMin, state.watch.delays.uncertaintyMin) * MINUTE >
      nowMs
    )
      continue;
    run.count('a missed night');
    const heard = state.watch.raised.some(
      (r) =>
        r.to.includes('@field') &&
        rankOf(r.phase) >= rankOf('alert') &&
        (r.phase === 'distress' || r.atMs > night.dueMs - DAY / 2),
    );
    if (!heard)
      throw new Broken(`the night of ${new Date(night.dueMs).toISOString()} is told to nobody`);
  }
}

function act(run: Run, move: Move): boolean {
  const { state, nowMs } = run;
  const ago = (min: number) => Math.max(nowMs - min * MINUTE, state.departedAtMs ?? DAWN_MS);
  switch (move.do) {
    case 'pass':
      run.silence(nowMs + move.min * MINUTE);
      return true;
    case 'clock':
      run.nowMs = Math.max(nowMs + move.byMin * MINUTE, (state.departedAtMs ?? DAWN_MS) + MINUTE);
      run.clockWasSet = true;
      return true;
    case 'well':
      return run.tell({ kind: 'watch.ok', data: { how: 'radio' }, atMs: ago(move.agoMin) });
    case 'pitch': {
      const pitch = state.pitches.find((p) => p.done === undefined)?.number;
      return (
        pitch !== undefined &&
        run.tell({ kind: 'pitch.done', data: { pitch }, atMs: ago(move.agoMin) })
      );
    }
    case 'settle': {
      const pitch = state.pitches.filter((p) => p.done !== undefined).length;
      return run.tell({ kind: 'bivy.settled', data: { pitch } });
    }
    case 'up':
      return run.tell({ kind: 'bivy.left' });
    case 'retreat':
      return run.tell({
        kind: 'retreat.began',
        data: { pitch: state.pitches.filter((p) => p.done !== undefined).length },
      });
    case 'wayDown':
      return run.tell({ kind: 'descent.reached', data: { point: 'off-top' } });
    case 'plan':
      return run.tell({
        kind: 'watch.planned',
        data: { [move.time]: move.inMin === null ? null : nowMs + move.inMin * MINUTE },
      });
    case 'promise':
      return run.tell({ kind: 'watch.promised', data: { dueMs: nowMs + move.inMin * MINUTE } });
    case 'nightly':
      return run.tell({ kind: 'watch.nightly', data: { clock: move.clock } });
    case 'delays': {
      const { uncertaintyMin, alertMin, who } = move;
      const person = who === undefined ? {} : { person: who };
      return run.tell({ kind: 'watch.delays', data: { uncertaintyMin, alertMin, ...person } });
    }
    case 'ack':
      return run.tell({ kind: 'watch.acked', data: { person: move.who } });
    case 'press':
      return press(run, move);
    case 'called':
      return phaseNow(state) !== undefined && run.tell({ kind: 'watch.called' });
    case 'trouble':
      return run.tell({
        kind: 'trouble.reported',
        data: { who: ['ines'], condition: 'hurt', what: 'fell', how: 'radio', wants: move.wants },
      });
    case 'over': {
      const trouble = openTroubles(state).at(-1)?.id;
      return (
        trouble !== undefined &&
        run.tell({ kind: 'trouble.over', data: { trouble, said: 'met them', left: 'well' } })
      );
    }
    case 'remove':
      return run.tell({ kind: 'roster.removed', data: { id: move.who } });
    case 'strike': {
      const may = run.history.filter((f) => f.seq > 11 && !f.kind.startsWith('watch.raised'));
      const target = may.at(-1 - move.back)?.id;
      return target !== undefined && run.tell({ kind: 'log.struck', data: { target } });
    }
    case 'number':
      return run.tell({ kind: 'trip.edited', data: { emergencyNumber: move.text } });
    case 'down':
      return run.tell({ kind: 'trip.down' });
    case 'close':
      return run.tell({ kind: 'trip.closed' });
  }
}

/** Plays one history. Throws Broken with what was broken. */
export function playHistory(history: History, met: Map<string, number> = new Map()): Played {
  const run = new Run(met);
  const { downMin, calloutMin, nightly, moves } = history;
  const at = (min: number | undefined) => (min === undefined ? {} : run.nowMs + min * MINUTE);
  const plan = {
    ...(downMin === undefined ? {} : { downMs: at(downMin) }),
    ...(calloutMin === undefined ? {} : { calloutMs: at(calloutMin) }),
  };
  if (Object.keys(plan).length > 0) run.tell({ kind: 'watch.planned', data: plan });
  if (nightly) run.tell({ kind: 'watch.nightly', data: { clock: '21:00' } });
  run.tell({ kind: 'trip.departed' });
  for (const [i, move] of moves.entries()) {
    const done = act(run, move);
    run.count(`${move.do}${done ? '' : ', refused'}`);
    run.raise();
    watchedOn(run);
    everyButton(run);
    if (i % 5 === 4) reachesDistress(run);
  }
  reachesDistress(run);
  return { met };
}
