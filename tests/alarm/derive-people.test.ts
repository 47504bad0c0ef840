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

  it('no: hears of no alarm, and nobody is told of one who never was contact', () => {
    const { to } = change(waiting(), said('no'));
    expect([to('phase'), to('left')]).toEqual([[], []]);
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
