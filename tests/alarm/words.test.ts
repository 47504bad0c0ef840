/** Everything the watch may say, in every phase, to everyone: how it reads and what it gives away. */
import { describe, expect, it } from 'vitest';
import type { What } from '../../src/alarm/notice.ts';
import { renderNotice } from '../../src/alarm/render.ts';
import { sheetOf } from '../../src/alarm/sheet.ts';
import { sheetText } from '../../src/alarm/sheet-text.ts';
import { renderReply } from '../../src/chat/discord/render.ts';
import { bare, type Message } from '../../src/say/message.ts';
import type { AlarmPhase } from '../../src/trip/watch-state.ts';
import { DAWN_MS, departed, HOUR, MINUTE } from './trip.ts';

const DOWN = DAWN_MS + 16 * HOUR;
const CALLOUT = DAWN_MS + 20 * HOUR;
const options = (nowMs: number) => ({ nowMs, organizer: 'watch@example.org' });

/** When a time is due the channel alone is asked. */
function alarmed(phase: AlarmPhase, to = phase === 'due' ? ['@field'] : ['@field', 'dana', 'pal']) {
  const distress = phase === 'distress';
  const [root, dueMs] = distress ? ['callout', CALLOUT] : ['down', DOWN];
  const late = { due: 0, uncertainty: 30, alert: 120, distress: 0 }[phase] * MINUTE;
  const told = dueMs + late;
  const data = { phase, root, dueMs, to };
  return { story: departed().tell({ kind: 'watch.raised', data, told, by: 'tagline' }), told };
}

function said(phase: AlarmPhase, to: string, more: Partial<Extract<What, { kind: 'phase' }>> = {}) {
  const { story, told } = alarmed(phase);
  const what = { kind: 'phase', raised: story.state.seq, ...more } as const;
  const rendered = renderNotice(story.state, { to, what }, options(told));
  if (!('send' in rendered)) throw new Error(`dropped: ${rendered.drop}`);
  return rendered.send;
}

const text = (message: Message) => message.lines.map(bare).join('\n');

const EVERY: [AlarmPhase, string][] = (
  ['due', 'uncertainty', 'alert', 'distress'] as const
).flatMap((phase) => ['@field', 'dana', 'pal'].map((to): [AlarmPhase, string] => [phase, to]));

describe.each(EVERY)('phase %s to %s', (phase, to) => {
  it('is calm, short and fits one Discord message with all its buttons', () => {
    const message = said(phase, to, { repeat: 3 });
    expect(text(message)).not.toMatch(/!/);
    for (const line of message.lines) expect(bare(line).length).toBeLessThanOrEqual(240);
    expect(message.subject.length).toBeLessThanOrEqual(78);
    const { messages, problems } = renderReply(message, {
      nowMs: DAWN_MS,
      trip: 'k3v9x2ab',
      maxMessages: 1,
    });
    expect(problems).toEqual([]);
    expect(messages[0].content.length).toBeLessThanOrEqual(2000);
    expect(messages[0].content).not.toMatch(/attached file/);
  });

  it('says what was expected, and what was heard last', () => {
    expect(text(said(phase, to))).toMatch(/(by|was|come:)[^\n]* 22:00|02:00/);
    expect(text(said(phase, to))).toMatch(/Last heard [^\n]*06:00/);
  });
});

describe('what each phase tells its reader to do', () => {
  it('alert: whoever was told already is told what to do next, not told once more', () => {
    const words = text(said('alert', '@field'));
    expect(words).toMatch(
      /If nothing is heard, at [^\n]*02:00 Dana and Pål are told what to do next\./,
    );
  });

  it('alert: who was told of it later counts for those who were told before, and no longer who left', () => {
    const { story, told } = alarmed('alert', ['@field', 'pal']);
    const first = story.state.seq;
    const data = { phase: 'alert', root: 'down', dueMs: DOWN, to: ['dana'] };
    story.tell({ kind: 'watch.raised', data, told: told + 10 * MINUTE, by: 'tagline' });
    const read = (to: string) => {
      const what = { kind: 'phase', raised: first, repeat: 1 } as const;
      const rendered = renderNotice(story.state, { to, what }, options(told + 15 * MINUTE));
      if (!('send' in rendered)) throw new Error(`dropped: ${rendered.drop}`);
      return text(rendered.send);
    };
    expect(read('pal')).toContain('\nTold as well: Dana. Agree who does what.\n');
    expect(read('@field')).toContain('\nBeing told: Dana and Pål.\n');
    expect(read('@field')).toContain('Dana and Pål are told what to do next.');
    const way = { person: 'dana', way: 'dm', to: 'u-dana' };
    const left = [way, { person: 'dana', way: 'email', to: 'dana@example.org' }];
    for (const one of left) {
      const data = { ...one, answer: 'no' };
      story.tell({ kind: 'contact.answered', data, told: told + 12 * MINUTE });
    }
    expect(read('pal')).not.toContain('Told as well');
    expect(read('@field')).toContain('\nBeing told: Pål.\n');
  });

  it('due: the party and the ground crew, nobody else, without alarm', () => {
    const message = said('due', '@field');
    expect(text(message)).toMatch(/are you well\?/);
    expect(text(message)).toMatch(/If nothing is heard, at 22:30 Dana is told\./);
    expect(message.buttons?.map((b) => b.label)).toEqual(['They are fine']);
  });

  it('uncertainty: phone, ground crew, other parties, the vehicle', () => {
    const words = text(said('uncertainty', 'dana'));
    expect(words).toContain('Please try them: Mara +47 000 01, Jonas +47 000 02.');
    expect(words).toContain('the ground crew: Greta +47 000 03, and other climbers there');
    expect(words).toMatch(/vehicle still stand/);
    expect(words).toMatch(/told more at (Fri )?00:00/);
    expect(words).not.toMatch(/112/);
  });

  it('alert: both contacts, the sheet, the call-out time and the number', () => {
    const message = said('alert', 'dana');
    expect(text(message)).toContain('Told as well: Pål.');
    expect(text(message)).toMatch(
      /by the call-out time (Fri )?02:00, call the emergency number 112/,
    );
    expect(message.files?.map((f) => f.name)).toEqual(['sheet-harrow-tower.txt']);
    expect(message.buttons?.map((b) => b.label)).toContain("I've got it");
  });

  it('distress: call now comes first, and that we call nobody', () => {
    const message = said('distress', 'dana');
    expect(bare(message.lines[0] ?? '')).toBe('Call the emergency number 112 now.');
    expect(text(message)).toMatch(/no rescue service and calls nobody/);
    expect(message.buttons?.map((b) => b.label)).toContain('I have called the rescue service');
  });

  it('without a number given, names it as one would', () => {
    const { story, told } = alarmed('distress');
    const { emergencyNumber: _, ...state } = story.state;
    const what = { kind: 'phase', raised: state.seq } as const;
    const rendered = renderNotice(state, { to: 'dana', what }, options(told));
    if (!('send' in rendered)) throw new Error('dropped');
    expect(bare(rendered.send.lines[0] ?? '')).toBe('Call your local emergency number now.');
  });

  it('distress after a word within the hour: try them first', () => {
    const { story, told } = alarmed('distress');
    const seq = story.state.seq;
    story.tell({
      kind: 'watch.ok',
      data: { how: 'radio' },
      at: CALLOUT - 20 * MINUTE,
      told: CALLOUT - 20 * MINUTE,
    });
    const what = { kind: 'phase', raised: seq } as const;
    const rendered = renderNotice(story.state, { to: 'dana', what }, options(told));
    if (!('send' in rendered)) throw new Error('dropped');
    expect(bare(rendered.send.lines[0] ?? '')).toMatch(
      /Try them once more; if you reach nobody, call/,
    );
  });
});

describe('what the channel may not see', () => {
  it.each(EVERY.filter(([, to]) => to === '@field'))(
    '%s holds no phone, medical note or sheet',
    (phase) => {
      const message = said(phase, '@field');
      expect(text(message)).not.toMatch(/\+47|asthma|example\.org/);
      expect(message.files).toBeUndefined();
    },
  );
});

describe('what is not sent any more', () => {
  const drop = (story: ReturnType<typeof departed>, seq: number, to = 'dana', more = {}) =>
    renderNotice(
      story.state,
      { to, what: { kind: 'phase', raised: seq, ...more } },
      options(DOWN + 3 * HOUR),
    );

  it.each([
    ['ended', { kind: 'watch.ok', data: { how: 'radio' }, at: DOWN + 2.5 * HOUR }, {}],
    ['ended', { kind: 'trip.down', at: DOWN + 2.5 * HOUR }, {}],
    ['ended', { kind: 'watch.planned', data: { downMs: DOWN + 9 * HOUR } }, {}],
    ['acknowledged', { kind: 'watch.acked', data: { person: 'dana' } }, { repeat: 1 }],
    ['acknowledged', { kind: 'watch.called', data: {} }, { repeat: 1 }],
    ['gone', { kind: 'roster.removed', data: { id: 'dana' } }, {}],
  ])('%s', (why, told, more) => {
    const { story } = alarmed('alert');
    const seq = story.state.seq;
    story.tell({ told: DOWN + 2.5 * HOUR, ...told });
    expect(drop(story, seq, 'dana', more)).toEqual({ drop: why });
  });

  it('overtaken by a higher phase', () => {
    const { story } = alarmed('uncertainty');
    const seq = story.state.seq;
    const data = { phase: 'alert', root: 'down', dueMs: DOWN, to: ['dana'] };
    story.tell({ kind: 'watch.raised', data, told: DOWN + 2 * HOUR });
    expect(drop(story, seq)).toEqual({ drop: 'overtaken' });
  });
});

describe('the sheet', () => {
  it('has what a dispatcher asks, in that order, with nothing guessed', () => {
    const story = departed().tell(
      {
        kind: 'watch.details',
        data: { vehicle: 'red van', parked: 'quarry', gear: 'orange portaledge' },
      },
      {
        kind: 'pitch.done',
        data: { pitch: 1 },
        at: DAWN_MS + 2 * HOUR,
        told: DAWN_MS + 3 * HOUR,
        by: 'Greta',
      },
      { kind: 'watch.planned', data: { downMs: DOWN + HOUR }, told: DAWN_MS + 4 * HOUR },
    );
    const sheet = sheetText(sheetOf(story.state, DOWN + 3 * HOUR));
    const heads = [...sheet.matchAll(/^[A-Z][A-Z ]+$/gm)].map(([h]) => h);
    expect(heads).toEqual([
      'NOW',
      'WHO',
      'WHERE',
      'WITH THEM',
      'PLAN',
      'WHAT WAS HEARD',
      'NUMBERS',
    ]);
    for (const fact of [
      'Party of 3.',
      'Mara: age 34; phone +47 000 01; clothing red jacket.',
      'Jonas: phone +47 000 02; medical asthma.',
      'Ines: nothing further given.',
      'Wall: Lantern Gorge.',
      'Position 62.10000° N 6.90000° E (WGS 84).',
      'Highest point told: pitch 1 done at Thu 08:00, by Greta.',
      'Next planned: pitch 2.',
      'Vehicle: red van',
      'Gear: orange portaledge',
      'Call-out time 13 Jun 2031 02:00 (+02:00).',
      'Changed Thu 10:00 by Mara: Everyone down Thu 22:00 to Thu 23:00.',
      'Thu 08:00  pitch 1 done (Greta, told Thu 09:00)',
      'Emergency: 112',
      'Contact, Dana: +47 000 04',
    ]) {
      expect(sheet).toContain(fact);
    }
    expect(sheet).not.toMatch(/undefined|NaN|!/);
  });
});
