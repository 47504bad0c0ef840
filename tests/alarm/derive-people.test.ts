/** What changes about the people bring: who is asked, who answers, who leaves, who has to agree. */
import { describe, expect, it } from 'vitest';
import { change, DOWN, NOW, raised } from './changing.ts';
import { departed, HOUR, opened, type Told } from './trip.ts';

const DANA = { person: 'dana', way: 'email', to: 'dana@example.org' } as const;
const PAL = { person: 'pal', way: 'email', to: 'pal@example.org' } as const;

const asked = (way: object, more: object = {}): Told => ({
  kind: 'contact.asked',
  data: { ...way, ...more },
  told: NOW,
});
const said = (answer: 'yes' | 'no', way: object = PAL): Told => ({
  kind: 'contact.answered',
  data: { ...way, answer },
  told: NOW,
});
const removed = (id: string): Told => ({ kind: 'roster.removed', data: { id }, told: NOW });

describe('who is asked to be contact', () => {
  it('gets one message for it, also on a trip that is opened with them', () => {
    const { notices, after } = change(opened(), asked(DANA));
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['dana', { kind: 'invite', seq: after.seq }],
    ]);
  });

  it('gets none when nothing goes out any more today, or when they have answered in the same breath', () => {
    expect(change(opened(), asked(DANA, { unsent: true })).to('invite')).toEqual([]);
    expect(change(opened(), asked(PAL), said('yes')).to('invite')).toEqual([]);
  });

  it('gets another one for each time they are asked', () => {
    const story = opened().tell(asked(DANA));
    expect(change(story, asked(DANA)).to('invite')).toEqual(['dana']);
  });
});

describe('a contact who answers', () => {
  const waiting = () => departed().tell(asked(PAL), raised('distress', ['@field', 'pal', 'dana']));

  it('yes while an alarm stands: hears of it in full, at its own height, under a key of its own', () => {
    const story = waiting();
    const alarm = story.state.watch.raised.at(-1)?.seq;
    const { notices, after } = change(story, said('yes'));
    const about = notices.filter((n) => n.what.kind === 'phase');
    expect(about.map((n) => [n.to, n.what])).toEqual([['pal', { kind: 'phase', raised: alarm }]]);
    expect(about[0]?.notice).toMatchObject({
      urgency: 0,
      key: `${after.id}/phase/${alarm}/pal/${after.seq}`,
    });
  });

  it('yes twice at once is one yes', () => {
    expect(change(waiting(), said('yes'), said('yes')).to('phase')).toEqual(['pal']);
  });

  it('yes again, once they are contact: nothing new', () => {
    const story = waiting().tell(said('yes'));
    expect(change(story, said('yes')).to('phase')).toEqual([]);
  });

  it('no: hears of no alarm; the channel is told once, for somebody else has to be found', () => {
    const story = waiting();
    const { to, about, after } = change(story, said('no'));
    expect([to('phase'), to('left')]).toEqual([[], ['@field']]);
    expect(about('left')).toEqual({ kind: 'left', seq: after.seq, person: 'pal', gone: true });
    expect(change(story, said('no')).to('left')).toEqual([]);
  });

  it('no, off the roster by then: nobody waits for them any more', () => {
    const story = departed().tell(asked(PAL), removed('pal'));
    expect(change(story, said('no')).to('left')).toEqual([]);
  });

  it('yes while nothing stands: hears of no alarm', () => {
    expect(change(departed().tell(asked(PAL)), said('yes')).to('phase')).toEqual([]);
  });

  it('no after a yes: has left, and the channel is told who', () => {
    const story = departed().tell(asked(PAL), said('yes'));
    const { notices, after, to } = change(story, said('no'));
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['@field', { kind: 'left', seq: after.seq, person: 'pal', gone: true }],
    ]);
    expect(to('phase')).toEqual([]);
  });
});

describe('a contact of a party that is out', () => {
  it('who wants to leave is asked back, and the channel is told that they want to', () => {
    const { notices, after } = change(departed(), {
      kind: 'contact.leaving',
      data: { person: 'dana' },
      told: NOW,
    });
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['dana', { kind: 'leaving', seq: after.seq }],
      ['@field', { kind: 'left', seq: after.seq, person: 'dana', gone: false }],
    ]);
  });

  describe('who leaves while an alarm stands', () => {
    const alarmed = (to = ['@field', 'dana', 'pal']) =>
      departed().tell(asked(PAL), said('yes'), raised('alert', to));

    it('by their own no: the other contacts who were told of it hear that, beside the channel', () => {
      const { notices, after } = change(alarmed(), said('no'));
      const about = { kind: 'left', seq: after.seq, person: 'pal', gone: true };
      expect(notices.filter((n) => n.what.kind === 'left').map((n) => [n.to, n.what])).toEqual([
        ['@field', about],
        ['dana', about],
      ]);
    });

    it('by being taken off the roster: the others hear that, and the channel has the answer', () => {
      const { to, about, after } = change(alarmed(), removed('dana'));
      expect([to('left'), to('removed')]).toEqual([['pal'], ['dana']]);
      expect(about('left')).toEqual({ kind: 'left', seq: after.seq, person: 'dana', gone: true });
    });

    it('and was told nothing of it, or is alone with it: nobody else hears more than before', () => {
      expect(change(alarmed(['@field', 'dana']), said('no')).to('left')).toEqual(['@field']);
      expect(change(alarmed(['@field', 'pal']), said('no')).to('left')).toEqual(['@field']);
      expect(change(alarmed(['@field', 'dana']), removed('dana')).to('left')).toEqual([]);
    });
  });

  it('whose mail can’t be read is shown to the channel', () => {
    const { notices, after } = change(departed(), {
      kind: 'mail.received',
      data: { person: 'dana', words: 'is the boat late?' },
      told: NOW,
    });
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['@field', { kind: 'mail', seq: after.seq }],
    ]);
  });

  it('who is taken off the roster hears that and by whom; one of a party that isn’t out doesn’t', () => {
    const { notices, after } = change(departed(), { ...removed('dana'), by: 'Jonas' });
    expect(notices.map((n) => [n.to, n.what])).toEqual([
      ['dana', { kind: 'removed', seq: after.seq, by: 'Jonas' }],
    ]);
    expect(change(opened(), removed('dana')).to('removed')).toEqual([]);
    // Who was no contact hears nothing of it.
    expect(change(departed(), removed('greta')).to('removed')).toEqual([]);
  });
});

describe('a contact who is taken off the roster and added anew within one alarm', () => {
  const back = (fields: object): Told => ({
    kind: 'roster.added',
    data: { id: 'dana2', fields: { name: 'Dana', roles: ['contact'], ...fields } },
    told: NOW,
  });
  const heard: Told = { kind: 'watch.ok', data: { how: 'radio' }, at: NOW, told: NOW };
  /** Whom the end is for, with Dana told of the alarm as she was and, where named, as she is. */
  const endFor = (fields: object, again: string[] = ['dana2']) => {
    const story = departed().tell(raised('alert', ['@field', 'dana']), removed('dana'));
    story.tell(back(fields), raised('alert', ['@field', ...again]));
    return change(story, heard).to('ended').sort();
  };

  it('hears once how it ended: by the account or the address they had', () => {
    expect(endFor({ userId: 'u-dana' })).toEqual(['@field', 'dana2']);
    expect(endFor({ email: 'Dana@example.org' })).toEqual(['@field', 'dana2']);
  });

  it('hears it as who they were, where they were not told anew; somebody else is somebody else', () => {
    expect(endFor({ userId: 'u-dana' }, [])).toEqual(['@field', 'dana']);
    expect(endFor({ email: 'other@example.org' })).toEqual(['@field', 'dana', 'dana2']);
  });
});

describe('a contact who changes the watch from home', () => {
  const later = (by: string): Told => ({
    kind: 'watch.planned',
    data: { calloutMs: DOWN + 9 * HOUR },
    told: NOW,
    by,
  });
  const kinds = (...told: Told[]) =>
    change(departed(), ...told).notices.map((n) => [n.to, n.what.kind]);

  it('is heard of in the channel: a time that moved, a trip that is closed, everyone down', () => {
    expect(kinds(later('Dana'))).toContainEqual(['@field', 'plan']);
    expect(kinds({ kind: 'trip.closed', told: NOW, by: 'Dana' })).toContainEqual([
      '@field',
      'over',
    ]);
    expect(kinds({ kind: 'trip.down', told: NOW, by: 'Dana' })).toContainEqual(['@field', 'over']);
  });

  it('once: not beside the end of an alarm, nor where one of the party or the ground crew did it', () => {
    const story = departed().tell(raised('alert', ['@field', 'dana']));
    const { notices } = change(story, { kind: 'trip.closed', told: NOW, by: 'Dana' });
    expect(notices.flatMap((n) => (n.to === '@field' ? n.what.kind : []))).toEqual(['ended']);
    for (const by of ['Mara', 'Greta', 'Pål']) {
      expect(kinds(later(by)).map(([to]) => to)).not.toContain('@field');
    }
  });
});

describe('a change that needs a second person', () => {
  const alarmed = () => departed().tell(raised('alert', ['@field', 'dana', 'pal']));
  const later = { kind: 'watch.planned', data: { calloutMs: DOWN + 9 * HOUR } };
  const wanted = (by: string): Told => ({
    kind: 'watch.asked',
    data: { drafts: [later], words: ['The call-out 5 h later.'], plan: 0 },
    told: NOW,
    by,
  });

  it('is put to everybody who was told of the alarm, but not to who asks', () => {
    const { to, about, after } = change(alarmed(), wanted('Dana'));
    expect(to('asked')).toEqual(['@field', 'pal']);
    expect(about('asked')).toEqual({ kind: 'asked', seq: after.seq });
    expect(change(alarmed(), wanted('Mara')).to('asked')).toEqual(['@field', 'dana', 'pal']);
  });

  it('is put to nobody while nothing stands, and not again by the next change', () => {
    expect(change(departed(), wanted('Mara')).to('asked')).toEqual([]);
    const story = alarmed().tell(wanted('Dana'));
    expect(change(story, { kind: 'watch.drill', data: { to: 'pal' } }).to('asked')).toEqual([]);
    // The newest of two.
    const two = change(story, wanted('Mara'));
    expect(two.about('asked')).toEqual({ kind: 'asked', seq: two.after.seq });
  });

  it('is told with both names once it is agreed to; with one, where it is the same', () => {
    const moved: Told = { kind: 'watch.planned', data: { downMs: NOW + HOUR }, told: NOW };
    const agree = (by: string): Told[] => {
      const story = alarmed().tell(wanted('Dana'));
      const yes = { kind: 'watch.agreed', data: { asked: story.state.seq }, told: NOW, by };
      const { about } = change(story, yes, { ...moved, by });
      return [about('ended') as never];
    };
    expect(agree('Greta')[0]).toMatchObject({ why: 'moved', by: 'Greta', asker: 'Dana' });
    expect(agree('Dana')[0]).not.toHaveProperty('asker');
    // Agreed to long ago, by another change: no asker of this one.
    const story = alarmed().tell(wanted('Dana'));
    story.tell({ kind: 'watch.agreed', data: { asked: story.state.seq }, told: NOW, by: 'Greta' });
    expect(change(story, { ...moved, by: 'Mara' }).about('ended')).not.toHaveProperty('asker');
  });
});

describe('the rescue service', () => {
  const called = (): Told => ({ kind: 'watch.called', by: 'Dana', told: NOW });
  const stoodDown = (call: number): Told => ({
    kind: 'watch.stooddown',
    data: { call },
    told: NOW,
    by: 'Dana',
  });

  it('knows that it is needed no more: everybody is told, once', () => {
    const story = departed().tell(raised('distress', ['@field', 'dana']), called());
    const call = story.state.seq;
    const { notices, after } = change(story, stoodDown(call));
    expect(notices.map((n) => [n.to, n.what])).toEqual(
      ['@field', 'dana', 'pal'].map((to) => [to, { kind: 'stooddown', seq: after.seq }]),
    );
    expect(change(story, { kind: 'watch.drill', data: { to: 'pal' } }).to('stooddown')).toEqual([]);
  });

  it('is called once: the change after it says nothing of it', () => {
    const story = departed().tell(raised('distress', ['@field', 'dana']), called());
    const next = change(story, { kind: 'watch.drill', data: { to: 'pal' } });
    expect([next.to('called'), next.to('drill')]).toEqual([[], ['pal']]);
    expect(change(story, { kind: 'watch.drill', data: { to: 'dana' } }).to('drill')).toEqual([
      'dana',
    ]);
  });
});
