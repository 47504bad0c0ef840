/** Which ways are used from which step of an alarm, and that a rehearsal tries them all. */
import { describe, expect, it } from 'vitest';
import { type NoticeData, newNotice, noticeData, type What } from '../../src/alarm/notice.ts';
import { byAllWays, nextWay } from '../../src/delivery/turn.ts';
import type { AlarmPhase } from '../../src/trip/watch-state.ts';
import { DAWN_MS, departed, HOUR } from '../alarm/trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const PHONE = '+47 900 00 000';
const DEVICE = {
  person: 'dana',
  to: 'd1',
  endpoint: 'https://push.example/1',
  p256dh: 'k',
  auth: 'a',
};

/** Dana, told by push, mail and phone, each with her yes; an alarm of this phase. */
function scene(phase: AlarmPhase, fields: object) {
  const patch = { ways: ['push', 'email', 'phone'], phone: PHONE, userId: null, ...fields };
  const yes = (way: string, to: string) => ({
    kind: 'contact.answered',
    data: { person: 'dana', way, to, answer: 'yes' },
  });
  const story = departed()
    .tell({ kind: 'roster.edited', data: { id: 'dana', patch } })
    .tell({ kind: 'contact.device', data: DEVICE })
    .tell(yes('push', 'd1'), yes('email', 'dana@example.org'), yes('phone', '+4790000000'))
    .tell({
      kind: 'watch.raised',
      data: { phase, root: 'down', dueMs: DOWN, to: ['@field', 'dana'] },
    });
  const raised = story.state.watch.raised[0]?.seq ?? 0;
  return { story, state: story.state, raised };
}

const data = (what: What, progress: object = {}): NoticeData =>
  noticeData.parse({
    to: 'dana',
    what,
    progress: { gone: [], failures: 0, aloud: false, ...progress },
  });

/** The ways a notice takes while each fails for good. */
function order(phase: AlarmPhase, fields: object, about?: (raised: number) => What): string[] {
  const { state, raised } = scene(phase, fields);
  const what = about?.(raised) ?? { kind: 'phase', raised };
  const gone: NoticeData['progress']['gone'] = [];
  for (;;) {
    const way = nextWay(state, data(what, { gone }));
    if (way === undefined) return gone;
    gone.push(way);
  }
}

describe('a way that is kept for a later step', () => {
  const AT_DISTRESS = { from: { phone: 'distress' } };

  it('is not used before, unless nothing else is left', () => {
    expect(order('uncertainty', AT_DISTRESS)).toEqual(['push', 'email', 'phone']);
    const { state, raised } = scene('alert', AT_DISTRESS);
    const turns = [0, 2, 4, 6].map((failures) =>
      nextWay(state, data({ kind: 'phase', raised }, { failures })),
    );
    expect(turns).toEqual(['push', 'email', 'push', 'email']);
    const again = [1, 2, 3].map((repeat) =>
      nextWay(state, data({ kind: 'phase', raised, repeat })),
    );
    expect(again).toEqual(['email', 'push', 'email']);
  });

  it('is used from that step on, and for what ends it', () => {
    for (const about of [
      (raised: number): What => ({ kind: 'phase', raised, repeat: 2 }),
      (raised: number): What => ({ kind: 'ended', seq: 99, raised, why: 'heard', by: 'Greta' }),
    ]) {
      const { state, raised } = scene('distress', AT_DISTRESS);
      const seen = [0, 2, 4].map((failures) => nextWay(state, data(about(raised), { failures })));
      expect([...seen].sort()).toEqual(['email', 'phone', 'push']);
    }
    const early = scene('alert', { from: { phone: 'alert' } });
    const seen = [0, 2, 4].map((failures) =>
      nextWay(early.state, data({ kind: 'phase', raised: early.raised }, { failures })),
    );
    expect(seen).toEqual(['push', 'email', 'phone']);
  });

  it('goes with all the others at distress, and in a rehearsal', () => {
    const { state, raised, story } = scene('distress', AT_DISTRESS);
    const split = (what: What) => {
      const row = {
        ...newNotice(story.trip, 'dana', what, DOWN),
        nonce: 'n',
        status: 'pending',
        attempts: 0,
        nextTryAtMs: DOWN,
      };
      const all = byAllWays(state, row as never, data(what));
      return [all?.first, ...(all?.others.map((n) => noticeData.parse(n.data)) ?? [])].map(
        (d) => d?.progress.only,
      );
    };
    expect(split({ kind: 'phase', raised })).toEqual(['push', 'email', 'phone']);
    expect(split({ kind: 'drill', seq: 5 })).toEqual(['push', 'email', 'phone']);
  });
});

describe('times with a calendar file', () => {
  it('go by a way that carries one, where there is one', () => {
    const plan = (): What => ({ kind: 'plan', seq: 3, departed: true });
    expect(order('alert', {}, plan)[0]).toBe('email');
    expect(order('alert', { ways: ['push', 'phone'] }, plan)[0]).toBe('push');
  });
});

describe('a number on the sheet', () => {
  it('is rung only where the contact was asked by it and said yes', () => {
    expect(order('distress', { ways: null })).toEqual(['push', 'email']);
    const { story } = scene('distress', {});
    const no = { person: 'dana', way: 'phone', to: '+4790000000', answer: 'no' };
    const { state } = story.tell({ kind: 'contact.answered', data: no });
    const raised = state.watch.raised[0]?.seq ?? 0;
    const gone = ['push', 'email'] as const;
    expect(nextWay(state, data({ kind: 'phase', raised }, { gone: [...gone] }))).toBeUndefined();
  });
});
