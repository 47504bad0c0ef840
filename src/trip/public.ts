import type { Fact } from './fact.ts';
import type { Cutoff } from './kinds/cutoff.ts';
import type { Imported } from './kinds/log.ts';
import type { SaidDry } from './kinds/rain.ts';
import type { Trouble } from './kinds/trouble.ts';
import type { Wait } from './kinds/wait.ts';
import { type Kept, only } from './only.ts';
import type { Person } from './people.ts';
import type { TripSettings } from './settings.ts';
import type { Mark, PitchState, TripState } from './state.ts';
import type { CheckinPromise, Sign, WatchState } from './watch-state.ts';

/*
 * A trip as anybody may read it who has no part in it: without accounts, addresses, numbers, notes on health, what
 * people typed, and who is reached how. What is worked out of it can show none of that. Names, times, the plan
 * and how far the party has come are left.
 */

const each =
  <T>(cut: (value: T) => T) =>
  (all: readonly T[]) =>
    all.map(cut);
const none = () => [];
/** Who did it, by name: an account is nobody's business. */
const named = ({ name }: { name: string }) => ({ id: '', name });

const mark = only<Mark>({
  ...{ atMs: 'stays', eventId: 'stays', seq: 'stays', recordedAtMs: 'stays' },
  ...{ by: named, leader: 'stays', timeUnknown: 'stays' },
});

/** The topo is the wall's, not a person's. */
const pitch = (value: PitchState): PitchState => ({
  ...value,
  ...(value.started === undefined ? {} : { started: mark(value.started) }),
  ...(value.fixed === undefined ? {} : { fixed: mark(value.fixed) }),
  ...(value.done === undefined ? {} : { done: mark(value.done) }),
});

const person = only<Person>({
  ...{ id: 'stays', name: 'stays', roles: 'stays', leads: 'stays', joinedAtMs: 'stays' },
  ...{ hasClimbed: 'stays', out: 'stays', leftAtMs: 'stays', order: 'stays' },
  ...{ userId: 'goes', free: 'goes', aid: 'goes', email: 'goes', phone: 'goes', age: 'goes' },
  ...{ clothing: 'goes', medical: 'goes', zone: 'goes', locale: 'goes', ways: 'goes' },
  ...{ from: 'goes', ntfy: 'goes' },
});

const wait = only<Wait>({
  ...{ why: 'stays', untilMs: 'stays', sinceMs: 'stays', endedMs: 'stays' },
  words: 'goes',
});

const trouble = only<Trouble>({
  ...{ id: 'stays', seq: 'stays', atMs: 'stays', toldMs: 'stays', by: named, who: 'stays' },
  ...{ condition: 'stays', how: 'stays', calloutMs: 'stays', lastWordMs: 'stays' },
  what: () => '',
  ...{ where: 'goes', needs: 'goes' },
  updates: each((update) => ({ ...update, by: named(update.by), words: '' })),
  over: (over) => ({ ...over, by: named(over.by), said: '' }),
});

const cutoff = only<Cutoff>({
  ...{ id: 'stays', kind: 'stays', target: 'stays', atMs: 'stays' },
  label: () => '',
});

const imported = only<Imported>({
  ...{ entries: 'stays', chain: 'stays', atMs: 'stays', by: named },
  ...{ head: 'goes', from: 'goes' },
});

const dry = only<SaidDry>({ atMs: 'stays', by: named, said: () => '' });

/** Figures, clocks and choices, but for a source that somebody typed. */
const settings = only<TripSettings>({
  ...{ leadLineM: 'stays', leadMarginM: 'stays', haulLineM: 'stays' },
  ...{ tagLineM: 'stays', haulBag: 'stays', bagKg: 'stays' },
  ...{ portaledgePlaces: 'stays', approachMin: 'stays', firstDay: 'stays' },
  ...{ startClock: 'stays', stopClock: 'stays', descentMin: 'stays' },
  ...{ descentKm: 'stays', descentUpM: 'stays', descentDownM: 'stays' },
  ...{ walkKm: 'stays', walkUpM: 'stays', walkDownM: 'stays' },
  ...{ keepDays: 'stays', hours: 'stays', wetHours: 'stays' },
  ...{ heat: 'stays', faces: 'stays', party: 'stays' },
  ...{ pace: 'stays' },
  wetSource: 'goes',
  wetRule: 'goes',
});

const promise = only<CheckinPromise>({
  ...{ id: 'stays', seq: 'stays', dueMs: 'stays', who: 'stays', by: named },
  about: 'goes',
});

const sign = only<Sign>({
  ...{ atMs: 'stays', recordedAtMs: 'stays', seq: 'stays', by: named, who: 'stays' },
  // That they were heard, and nothing of what was said.
  fact: ({ trip, seq, id, atMs, recordedAtMs, by }: Fact): Fact => ({
    ...{ trip, seq, id, atMs, recordedAtMs, by: named(by) },
    ...{ kind: 'watch.ok', data: { how: 'radio' } },
  }),
});

const watch = only<WatchState>({
  promises: each(promise),
  nightly: 'stays',
  ...{ plan: 'stays', planSet: 'stays', moved: 'stays', delays: 'stays', delaysOf: 'stays' },
  signs: each(sign),
  ...{ raised: 'stays', acks: 'stays' },
  called: each(({ seq, atMs, by }) => ({ seq, atMs, by: named(by) })),
  ...{ asked: none, agreed: none },
  stoodDown: each(({ seq, atMs, by, call }) => ({ seq, atMs, by: named(by), call })),
  drills: 'stays',
  ...{ consents: none, devices: none, unreached: none, opened: none },
  details: () => ({}),
});

const state: Kept<TripState> = {
  ...{ id: 'stays', seq: 'stays', name: 'stays', zone: 'stays', place: 'stays', units: 'stays' },
  ...{ confidence: 'stays', emergencyNumber: 'goes', settings, takenPace: 'goes' },
  ...{ openedAtMs: 'stays', openedBy: named, imported },
  ...{ departedAtMs: 'stays', downAtMs: 'stays', closedAtMs: 'stays' },
  people: each(person),
  pitches: each(pitch),
  ...{ order: 'stays', assigned: 'stays', ropes: 'stays', ropeMarks: 'stays', styles: 'stays' },
  ...{ links: 'stays', breaks: 'stays', shuttle: 'stays', bivyPlan: 'stays', starts: 'stays' },
  cutoffs: each(cutoff),
  ...{ chosen: 'stays', nights: 'stays', rains: 'stays' },
  saidDry: each(dry),
  weather: () => ({}),
  kit: () => new Map(),
  waits: each(wait),
  ...{ retreats: 'stays', partRetreats: 'stays', splits: 'stays', outSince: 'stays' },
  ...{ descent: 'stays', schedule: 'stays' },
  troubles: each(trouble),
  watch,
  ...{ entries: none, clashes: none },
};

/** A trip as anybody may read it. */
export const publicState: (state: TripState) => TripState = only(state);
