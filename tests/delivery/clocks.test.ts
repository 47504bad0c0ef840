/** A clock that is wrong: held against the monotonic one and against another machine's answers. */
import { pino } from 'pino';
import { describe, expect, it, onTestFinished } from 'vitest';
import { deriveWatch } from '../../src/alarm/derive.ts';
import { Clocks, DOUBT_MS, type Witness } from '../../src/delivery/clocks.ts';
import { Watch } from '../../src/delivery/loop.ts';
import {
  type Envelope,
  NO_COUNTERS,
  type Sent,
  type WatchParts,
} from '../../src/delivery/ports.ts';
import { bare } from '../../src/say/message.ts';
import type { Draft } from '../../src/trip/fact.ts';
import { DAWN_MS, departed, HOUR, MINUTE } from '../alarm/trip.ts';
import { quietRecords } from '../chat/fakes.ts';
import { ManualClock } from '../helpers/clock.ts';
import { testStore } from '../helpers/store.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;

/** A departed trip, watched from `fromMs`; `truth` is the true time whatever the wall clock says. */
async function scene(fromMs: number, answers: () => boolean) {
  const store = testStore(':memory:');
  onTestFinished(() => store.close());
  const clock = new ManualClock();
  clock.set(fromMs);
  const zeroMs = fromMs - clock.monoMs();
  const truth = () => zeroMs + clock.monoMs();
  const told: { to: string; subject: string; text: string; atMs: number }[] = [];
  const take = (to: string, { message }: Envelope): Sent => {
    const text = message.lines.map(bare).join('\n');
    // The reminder ahead of a time is no alarm.
    if (/due soon/u.test(message.subject)) return { ok: true, receipt: 'x' };
    told.push({ to, subject: message.subject, text, atMs: truth() });
    return { ok: true, receipt: 'x' };
  };
  const errors: object[] = [];
  const log = pino({ level: 'silent' });
  log.error = ((fields: object) => void errors.push(fields)) as typeof log.error;
  const parts: WatchParts = {
    store,
    clock,
    log,
    ways: {
      channel: async (_c, envelope) => take('channel', envelope),
      dm: async ({ name }, envelope) => take(name, envelope),
      email: async ({ address }, envelope) => take(address, envelope),
    },
    records: quietRecords(store),
    organizer: 'watch@example.org',
    owner: 'here/1/1',
    counters: NO_COUNTERS,
    witnesses: [{ ask: async () => (answers() ? truth() : undefined) }],
  };
  const { events, state, trip } = departed();
  const change = { before: undefined, after: state, events, nowMs: DAWN_MS };
  await store.openTrip(
    { id: trip, channel: 'wall', openedAtMs: DAWN_MS },
    {
      key: trip,
      events,
      answer: null,
      deadlines: deriveWatch(change).deadlines,
      members: [],
      status: 'open',
      name: state.name,
      notices: [],
    },
  );
  let watch = new Watch(parts);
  const pass = async (ms: number, stepMs = 20_000) => {
    for (let left = ms; left > 0; left -= stepMs) {
      // With a fraction, as the machine's own monotonic clock has.
      clock.advance(Math.min(stepMs, left) + 0.013);
      clock.set(Math.floor(clock.wallMs()));
      await watch.tick();
      for (let i = 0; i < 20; i++) await new Promise((go) => setImmediate(go));
    }
  };
  return {
    store,
    clock,
    told,
    errors,
    truth,
    pass,
    tell: async (draft: Draft) => {
      const written = await parts.records.write({
        trip,
        key: 'told',
        nowMs: clock.wallMs(),
        by: { id: 'u-mara', name: 'Mara' },
        decide: () => [draft],
        derive: deriveWatch,
      });
      expect(written.outcome).toBe('written');
    },
    status: () => watch.status(),
    restart: () => {
      watch = new Watch(parts);
    },
  };
}

const TOO_SOON = 'told too soon, the time has not come';
const subjects = (told: { subject: string }[]) =>
  told.map((t) => t.subject.replace('Harrow Tower: ', ''));

describe('a wall clock set three hours ahead', () => {
  it('tells nothing by it while another machine says what time it is, and everything at the true time', async () => {
    const { clock, told, errors, pass, status } = await scene(CALLOUT - 5 * HOUR, () => true);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() + 3 * HOUR);
    await pass(30 * MINUTE);
    expect(told).toEqual([]);
    expect(status().doubt).toMatch(/3 h 0 min ahead of another machine/u);
    expect(JSON.stringify(errors)).toMatch(/3 h 0 min ahead of/u);
    await pass(DOWN - (CALLOUT - 5 * HOUR) - 35 * MINUTE + MINUTE);
    expect(subjects(told)).toEqual(['a word is due']);
    expect(told[0]?.atMs).toBeGreaterThanOrEqual(DOWN);
    expect(told[0]?.text).not.toMatch(/was not watching/u);
    await pass(4 * HOUR);
    const distress = told.filter((t) => /call 112/u.test(t.subject));
    expect(distress.length).toBeGreaterThan(0);
    for (const { atMs } of distress) expect(atMs).toBeGreaterThanOrEqual(CALLOUT);
  });

  it('where nobody else can be asked, is believed after minutes', async () => {
    const { clock, told, pass } = await scene(DOWN - HOUR, () => false);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() + 6 * HOUR);
    await pass(DOUBT_MS - MINUTE);
    expect(told).toEqual([]);
    await pass(2 * MINUTE);
    expect(subjects(told)).toContain('call 112 now');
  });

  it('what it told then is told again at the right time, and says why', async () => {
    let answers = false;
    const { clock, told, pass, restart } = await scene(DOWN - 3 * HOUR, () => answers);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() + 3 * HOUR);
    await pass(DOUBT_MS + MINUTE);
    expect(subjects(told)).toEqual(['a word is due']);
    answers = true;
    await pass(MINUTE);
    // As soon as the doubt is clear.
    expect(subjects(told)).toEqual(['a word is due', TOO_SOON]);
    expect(told[1]?.text).toMatch(/still to come: everyone down by 22:00/u);
    expect(told[1]?.text).toMatch(/Nothing is overdue so far/u);
    restart();
    await pass(3 * HOUR - 13 * MINUTE);
    expect(told).toHaveLength(2);
    await pass(2 * MINUTE);
    expect(subjects(told)).toEqual(['a word is due', TOO_SOON, 'a word is due']);
    expect(told[2]?.atMs).toBeGreaterThanOrEqual(DOWN);
    expect(told[2]?.text).toMatch(
      /^An earlier message about this came too soon: a clock was wrong/u,
    );
  });

  it('who was told to call hears at once, by every way, that the time has not come', async () => {
    let answers = false;
    const { clock, told, pass } = await scene(DOWN - HOUR, () => answers);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() + 6 * HOUR);
    await pass(DOUBT_MS + 2 * MINUTE);
    const called = told.filter((t) => /call 112/u.test(t.subject));
    expect(called.length).toBeGreaterThan(2);
    answers = true;
    await pass(MINUTE);
    const corrected = told.filter((t) => t.subject.endsWith(TOO_SOON));
    const ways = (all: { to: string }[]) => [...new Set(all.map((t) => t.to))].sort();
    expect(ways(corrected)).toEqual(ways([...called, { to: 'channel' }]));
    for (const { text } of corrected) expect(text).toMatch(/called anyone .*tell them now/u);
  });

  it('does not talk away trouble that was told by it', async () => {
    let answers = false;
    const { clock, told, pass, tell } = await scene(DOWN - 3 * HOUR, () => answers);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() + 2 * HOUR);
    await pass(DOUBT_MS + 2 * MINUTE);
    await tell({
      kind: 'trouble.reported',
      data: { who: ['ines'], condition: 'hurt', what: 'fell', how: 'radio', wants: 'callout' },
    });
    await pass(MINUTE);
    expect(subjects(told)).toContain('trouble, call the rescue service');
    const before = told.length;
    answers = true;
    await pass(5 * MINUTE);
    expect(subjects(told.slice(before))).not.toContain(TOO_SOON);
  });

  it('while the process was down, is found out before anything is said', async () => {
    const { clock, told, pass, restart } = await scene(CALLOUT - 5 * HOUR, () => true);
    await pass(2 * MINUTE);
    clock.set(clock.wallMs() + 8 * HOUR);
    restart();
    await pass(10 * MINUTE);
    expect(told).toEqual([]);
  });
});

describe('a wall clock set back', () => {
  it('monotonic time carries on', async () => {
    const { clock, told, pass } = await scene(DOWN - 30 * MINUTE, () => false);
    await pass(5 * MINUTE);
    clock.set(clock.wallMs() - 4 * HOUR);
    await pass(26 * MINUTE);
    expect(subjects(told)).toEqual(['a word is due']);
    expect(told[0]?.atMs).toBeLessThan(DOWN + MINUTE);
  });
});

describe('a machine that slept', () => {
  it('tells what fell due as soon as another machine confirms the time', async () => {
    const { clock, told, pass, truth } = await scene(DOWN - HOUR, () => true);
    await pass(5 * MINUTE);
    // The monotonic clock slept too; the scene's own truth moves with it, so it is set apart here.
    const asleepMs = 2 * HOUR;
    const witness: Witness = { ask: async () => truth() + asleepMs };
    const clocks = new Clocks(clock, [witness]);
    clocks.look();
    clock.set(clock.wallMs() + asleepMs);
    expect(clocks.look().doubt).toMatch(/ahead/u);
    clocks.saw(witness, truth() + asleepMs);
    clock.advance(3_000);
    clocks.saw(witness, truth() + asleepMs);
    expect(clocks.look()).toEqual({ nowMs: clock.wallMs() });
    expect(told).toEqual([]);
  });

  it('an answer that stands still, as out of a cache, is not believed', async () => {
    const clock = new ManualClock();
    clock.set(DOWN);
    const witness: Witness = { ask: async () => undefined };
    const clocks = new Clocks(clock, [witness]);
    for (let i = 0; i < 5; i++) {
      clocks.saw(witness, DOWN - 9 * HOUR);
      clock.advance(30_000);
    }
    expect(clocks.look()).toEqual({ nowMs: clock.wallMs() });
  });
});

describe('of several machines', () => {
  const at = (nowMs: () => number): Witness => ({ ask: async () => nowMs() });
  const twice = (clocks: Clocks, clock: ManualClock, all: [Witness, number][]) => {
    for (let i = 0; i < 2; i++) {
      for (const [witness, aheadMs] of all) clocks.saw(witness, clock.wallMs() + aheadMs);
      clock.advance(2_000);
    }
  };

  it('the first that has answered is believed, and the next one where it is silent', () => {
    const clock = new ManualClock();
    clock.set(DOWN);
    const [chat, mail] = [at(() => 0), at(() => 0)];
    const both = new Clocks(clock, [chat, mail]);
    twice(both, clock, [
      [mail, -3 * HOUR],
      [chat, 0],
    ]);
    expect(both.look()).toEqual({ nowMs: clock.wallMs() });
    const one = new Clocks(clock, [chat, mail]);
    twice(one, clock, [[mail, -3 * HOUR]]);
    expect(one.look().doubt).toMatch(/3 h 0 min ahead of another machine/u);
  });

  it('one that tells no time is as good as none', () => {
    const clock = new ManualClock();
    clock.set(DOWN);
    const clocks = new Clocks(clock, [{ ask: async () => undefined, mute: true }]);
    clocks.look();
    clock.set(DOWN + 2 * HOUR);
    expect(clocks.look()).toEqual({ nowMs: DOWN + 2 * HOUR });
  });
});
