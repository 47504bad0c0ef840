/** What a notice is stored as: its key, how urgent it is, how long it is worth telling. */
import { describe, expect, it } from 'vitest';
import { newNotice, noticeData, noticeKey, urgencyOf, type What } from '../../src/alarm/notice.ts';
import { DAWN_MS, HOUR } from './trip.ts';

const ASK: What = {
  kind: 'ask',
  what: 'down',
  agreedMs: DAWN_MS,
  proposeMs: DAWN_MS + HOUR,
  why: 'near',
};
const STOP: What = {
  kind: 'stop',
  night: 5,
  done: 3,
  stopMs: DAWN_MS,
  ways: ['Down: 3 rappels.'],
};
const ABOUT: Record<What['kind'], What> = {
  phase: { kind: 'phase', raised: 7 },
  ended: { kind: 'ended', seq: 9, raised: 7, why: 'heard', by: 'Greta' },
  called: { kind: 'called', seq: 9 },
  early: { kind: 'early', raised: 7 },
  asked: { kind: 'asked', seq: 9 },
  standdown: { kind: 'standdown', call: 9, sinceMs: DAWN_MS, n: 1 },
  stooddown: { kind: 'stooddown', seq: 9 },
  ahead: { kind: 'ahead', key: 'down', dueMs: DAWN_MS },
  removed: { kind: 'removed', seq: 9, by: 'Mara' },
  plan: { kind: 'plan', seq: 9, departed: true },
  over: { kind: 'over', seq: 9 },
  drill: { kind: 'drill', seq: 9 },
  ask: ASK,
  stop: STOP,
  unreached: { kind: 'unreached', seq: 9, person: 'dana' },
  deaf: { kind: 'deaf', sinceMs: DAWN_MS },
  hearing: { kind: 'hearing', sinceMs: DAWN_MS, backMs: DAWN_MS + HOUR },
  invite: { kind: 'invite', seq: 9 },
  leaving: { kind: 'leaving', seq: 9 },
  mail: { kind: 'mail', seq: 9 },
  lost: { kind: 'lost', seq: 9 },
  left: { kind: 'left', seq: 9, person: 'dana', gone: true },
  unreadable: { kind: 'unreadable', seq: 9 },
  readable: { kind: 'readable', seq: 9 },
  erasing: { kind: 'erasing', atMs: DAWN_MS },
};
const kinds = Object.keys(ABOUT) as What['kind'][];
const made = (kind: What['kind']) => newNotice('tr1p', 'dana', ABOUT[kind], DAWN_MS);
const livesH = (kind: What['kind']) => {
  const { expiresAtMs } = made(kind);
  return expiresAtMs === undefined ? 'for ever' : (expiresAtMs - DAWN_MS) / HOUR;
};

describe('a notice is worth telling', () => {
  it.each([
    ['an alarm: until it is told or over', 'phase', 'for ever'],
    ['that a record can’t be read: until it is told', 'unreadable', 'for ever'],
    ['that it can be read again: until it is told', 'readable', 'for ever'],
    ['a question about a time: six hours', 'ask', 6],
    ['what is meant at the stop time: an hour', 'stop', 1],
    ['that the call-out was made: a day', 'called', 24],
    ['that it was told too soon: a day', 'early', 24],
    ['a change that needs a second person: six hours', 'asked', 6],
    ['whether the rescue service knows: half a day', 'standdown', 12],
    ['that it knows: a day', 'stooddown', 24],
    ['what is due soon: an hour', 'ahead', 1],
    ['that one is no contact any more: three days', 'removed', 72],
    ['a drill: a day', 'drill', 24],
    ['that a way has ended: a day', 'lost', 24],
    ['the question whether one will be contact: three days', 'invite', 72],
    ['that a contact leaves, and what they are asked back: a day', 'left', 24],
    ['a mail that was not understood: a day', 'mail', 24],
    ['what a contact who leaves is asked back: a day', 'leaving', 24],
    ['that somebody can’t be reached: a day', 'unreached', 24],
    ['that posts don’t reach us: two hours', 'deaf', 2],
    ['that they do again: a day', 'hearing', 24],
    ['a plan: two days', 'plan', 48],
    ['the end of the trip: two days', 'over', 48],
    ['the end of an alarm: three days', 'ended', 72],
  ] as const)('%s', (_, kind, hours) => {
    expect(livesH(kind)).toBe(hours);
  });
});

describe('what goes first', () => {
  it('distress before alert before uncertainty before due', () => {
    const order = (['distress', 'alert', 'uncertainty', 'due'] as const).map(
      (phase) => newNotice('tr1p', 'dana', ABOUT.phase, DAWN_MS, { phase }).urgency,
    );
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(new Set(order).size).toBe(4);
    expect(order).toEqual((['distress', 'alert', 'uncertainty', 'due'] as const).map(urgencyOf));
  });

  it('an alarm of an unknown phase is taken for the worst', () => {
    expect(made('phase').urgency).toBe(urgencyOf('distress'));
  });

  it('the end of an alarm and a call-out go with the alerts: somebody may be on the phone', () => {
    expect(made('ended').urgency).toBe(urgencyOf('alert'));
    expect(made('called').urgency).toBe(urgencyOf('alert'));
  });

  it('that somebody can’t be reached goes with uncertainty', () => {
    expect(made('unreached').urgency).toBe(urgencyOf('uncertainty'));
  });

  it('questions and drills come after every alarm, plans last', () => {
    for (const kind of ['ask', 'drill'] as const) {
      expect(made(kind).urgency).toBeGreaterThan(urgencyOf('due'));
      expect(made(kind).urgency).toBeLessThan(made('plan').urgency);
    }
    expect(made('over').urgency).toBe(made('plan').urgency);
  });
});

describe('a key', () => {
  const key = (about: What, to = 'dana', trip = 'tr1p') => noticeKey(trip, to, about);

  it('is the same for the same notice and another for every other', () => {
    const different = [
      ...kinds.map((kind) => key(ABOUT[kind])),
      key(ABOUT.phase, '@field'),
      key(ABOUT.phase, 'dana', 'other'),
      key({ kind: 'phase', raised: 8 }),
      key({ kind: 'phase', raised: 7, repeat: 1 }),
      key({ kind: 'phase', raised: 7, repeat: 2 }),
      key({ kind: 'phase', raised: 7, reopened: true }),
      key({ kind: 'phase', raised: 7, reopened: true, repeat: 1 }),
      key({ ...ASK, what: 'callout' }),
      key({ ...ASK, agreedMs: DAWN_MS + 1 }),
      key({ kind: 'phase', raised: 7, lapsed: 8 }),
      key({ kind: 'phase', raised: 7, lapsed: 9 }),
      key({ ...ASK, also: [{ what: 'callout', agreedMs: DAWN_MS, proposeMs: DAWN_MS }] }),
      key({ ...STOP, night: 6 }),
      key({ ...STOP, stopMs: DAWN_MS + 1 }),
      key({ kind: 'early', raised: 8 }),
      key({ kind: 'standdown', call: 10, sinceMs: DAWN_MS, n: 1 }),
      key({ kind: 'standdown', call: 9, sinceMs: DAWN_MS + 1, n: 1 }),
      key({ kind: 'standdown', call: 9, sinceMs: DAWN_MS, n: 2 }),
      key({ kind: 'deaf', sinceMs: DAWN_MS + 1 }),
      key({ kind: 'hearing', sinceMs: DAWN_MS + 1, backMs: DAWN_MS + HOUR }),
      key({ kind: 'ahead', key: 'topout', dueMs: DAWN_MS }),
      key({ kind: 'ahead', key: 'down', dueMs: DAWN_MS + 1 }),
      key({ kind: 'erasing', atMs: DAWN_MS + 1 }),
      key({ kind: 'called', seq: 10 }),
    ];
    expect(new Set(different).size).toBe(different.length);
    expect(key({ kind: 'phase', raised: 7, reopened: false })).toBe(key(ABOUT.phase));
    // Asked once about a time, whatever the forecast says of it later.
    expect(key({ ...ASK, proposeMs: DAWN_MS + 2 * HOUR, why: 'cautious-late' })).toBe(key(ASK));
  });

  it('stays as it is from release to release: a stored notice is found by it', () => {
    expect(key(ABOUT.phase)).toBe('tr1p/phase/7/dana');
    expect(key({ kind: 'phase', raised: 7, repeat: 3, reopened: true })).toBe(
      'tr1p/phase/7/repeat-3/again/dana',
    );
    expect(key(ASK)).toBe(`tr1p/ask/down/${DAWN_MS}/dana`);
    const also = [{ what: 'callout', agreedMs: DAWN_MS + 1, proposeMs: DAWN_MS + 2 }] as const;
    expect(key({ ...ASK, also: [...also] })).toBe(
      `tr1p/ask/down/${DAWN_MS}/callout/${DAWN_MS + 1}/dana`,
    );
    expect(key(ABOUT.called)).toBe('tr1p/called/9/dana');
    expect(newNotice('tr1p', 'dana', ABOUT.called, DAWN_MS).key).toBe('tr1p/called/9/dana');
    expect(newNotice('tr1p', 'dana', ABOUT.phase, DAWN_MS, { key: '/12' }).key).toBe(
      'tr1p/phase/7/dana/12',
    );
  });
});

describe('what is stored of a notice', () => {
  it('is read back as it was, with nothing tried yet', () => {
    for (const kind of kinds) {
      const notice = made(kind);
      expect(notice).toMatchObject({ trip: 'tr1p', dueAtMs: DAWN_MS });
      expect(noticeData.parse(notice.data)).toEqual({
        to: 'dana',
        what: ABOUT[kind],
        progress: { gone: [], failures: 0, aloud: false },
      });
    }
  });

  it.each(kinds)('%s is read as strictly as it is written', (kind) => {
    const stored = (about: object) => noticeData.safeParse({ to: 'dana', what: about }).success;
    const about = ABOUT[kind];
    expect(stored(about)).toBe(true);
    expect(stored({ ...about, more: 1 })).toBe(false);
    // Each field that is there is needed.
    for (const field of Object.keys(about)) {
      const { [field]: _, ...rest } = about as unknown as Record<string, unknown>;
      expect(stored(rest), `without ${field}`).toBe(false);
    }
  });

  it('tells every reason for which an alarm ends', () => {
    for (const why of ['heard', 'over', 'down', 'moved', 'closed', 'struck']) {
      const data = { to: 'dana', what: { ...ABOUT.ended, why } };
      expect(noticeData.safeParse(data).success, why).toBe(true);
    }
  });

  it.each([
    ['to nobody', { to: '', what: ABOUT.phase }],
    ['about entry 0', { to: 'dana', what: { kind: 'called', seq: 0 } }],
    ['the 0th repeat', { to: 'dana', what: { kind: 'phase', raised: 7, repeat: 0 } }],
    ['of an unknown kind', { to: 'dana', what: { kind: 'sung', seq: 9 } }],
    ['an end for no known reason', { to: 'dana', what: { ...ABOUT.ended, why: 'bored' } }],
    ['a question about lunch', { to: 'dana', what: { ...ASK, what: 'lunch' } }],
    ['a question for no reason', { to: 'dana', what: { ...ASK, why: '' } }],
    ['with a field too many', { to: 'dana', what: { ...ABOUT.over, more: 1 } }],
    ['with something beside it', { to: 'dana', what: ABOUT.over, more: 1 }],
    ['given up by pigeon', { to: 'dana', what: ABOUT.over, progress: { gone: ['pigeon'] } }],
    ['failed less than never', { to: 'dana', what: ABOUT.over, progress: { failures: -1 } }],
    ['with odd progress', { to: 'dana', what: ABOUT.over, progress: { odd: 1 } }],
  ])('is refused %s', (_, data) => {
    expect(noticeData.safeParse(data).success).toBe(false);
  });

  it.each(['topout', 'down', 'callout'])('takes a question about %s', (what) => {
    expect(noticeData.safeParse({ to: 'dana', what: { ...ASK, what } }).success).toBe(true);
  });

  it.each(['middle-late', 'cautious-late', 'near'])('asked because %s', (why) => {
    const about = { ...ASK, why, projectedMs: DAWN_MS };
    expect(noticeData.safeParse({ to: 'dana', what: about }).success).toBe(true);
  });

  it.each(['heard', 'down', 'moved', 'closed', 'struck'])('takes an end: %s', (why) => {
    expect(noticeData.safeParse({ to: 'dana', what: { ...ABOUT.ended, why } }).success).toBe(true);
  });

  it('takes a way that was given up, and progress told in part', () => {
    const data = { to: 'dana', what: ABOUT.over, progress: { gone: ['channel', 'dm', 'email'] } };
    expect(noticeData.parse(data).progress).toEqual({
      gone: ['channel', 'dm', 'email'],
      failures: 0,
      aloud: false,
    });
    expect(noticeData.parse({ ...data, progress: { failures: 2 } }).progress).toEqual({
      gone: [],
      failures: 2,
      aloud: false,
    });
  });
});
