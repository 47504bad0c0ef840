import { describe, expect, it } from 'vitest';
import { parseScript, ScriptError } from '../../../src/chat/local/script.ts';

const iso = (ms: number | undefined) => new Date(ms ?? Number.NaN).toISOString();

describe('a script', () => {
  it('says when, who and what, or only when', () => {
    const script = parseScript(
      [
        '# a rehearsal',
        '',
        'zone Europe/Oslo',
        '2031-06-12 06:10  mara   /trip open name:"Harrow # Tower" zone:Atlantic/Reykjavik  # why',
        '2031-06-12T14:33 pål [Undo]',
        '2031-06-12 22:40',
      ].join('\n'),
      'climb.txt',
    );
    expect(script.zone).toBe('Europe/Oslo');
    expect(script.steps).toEqual([
      {
        line: 4,
        atMs: Date.UTC(2031, 5, 12, 4, 10),
        who: { id: 'local:mara', name: 'Mara' },
        said: '/trip open name:"Harrow # Tower" zone:Atlantic/Reykjavik',
      },
      {
        line: 5,
        atMs: Date.UTC(2031, 5, 12, 12, 33),
        who: { id: 'local:pål', name: 'Pål' },
        said: '[Undo]',
      },
      { line: 6, atMs: Date.UTC(2031, 5, 12, 20, 40) },
    ]);
  });

  it('takes the zone of the trip it opens, or UTC', () => {
    const open = '2031-06-12 06:10 mara /trip open name:x zone:Europe/Oslo';
    expect(parseScript(`2031-06-12 06:00\n${open}`, 'f').zone).toBe('Europe/Oslo');
    expect(parseScript('2031-06-12 06:00', 'f').zone).toBe('UTC');
    const zone = (options: string) =>
      parseScript(`2031-06-12 06:10 mara /trip open name:x ${options}`, 'f').zone;
    expect(zone('zone:oslo')).toBe('Europe/Oslo');
    expect(zone('lat:62.1 lon:6.9')).toBe('Europe/Oslo');
    expect(zone('zone:MST lat:33.4 lon:-112.1')).toBe('America/Phoenix');
    expect(zone('zone:MST')).toBe('UTC');
    expect(parseScript('zone new york', 'f').zone).toBe('America/New_York');
  });

  // Clock changes of Europe/Oslo in the tz database: 30 March 2031 at 02:00, 26 October 2031 at 03:00.
  it('passes the doubled hour in order', () => {
    const times = ['02:30', '02:50', '02:10', '02:40', '03:10'];
    const text = ['zone Europe/Oslo', ...times.map((t) => `2031-10-26 ${t}`)].join('\n');
    expect(parseScript(text, 'f').steps.map((s) => iso(s.atMs).slice(11, 16))).toEqual([
      '00:30',
      '00:50',
      '01:10',
      '01:40',
      '02:10',
    ]);
  });

  it.each([
    ['zone IST', 1, 'IST may be Asia/Kolkata, Europe/Dublin, Asia/Jerusalem'],
    ['zone Europe/Nowhere', 1, 'no time zone Europe/Nowhere'],
    ['zone Europe/Oslo\n2031-03-30 02:30', 2, 'a clock change in Europe/Oslo leaves this time out'],
    ['2031-02-30 10:00', 1, 'there is no such day or time'],
    ['2031-06-12 24:00', 1, 'there is no such day or time'],
    ['2031-06-12 10:00\n\n2031-06-12 09:59', 3, 'before the line above it (10:00)'],
    ['mara /help', 1, "can't be read"],
    ['2031-06-12 10:00 mara', 1, "can't be read"],
    ['2031-06-12 10:00 7up /help', 1, '7up is not a name'],
    ['2031-06-12 10:00\nzone UTC', 2, "can't be read"],
  ])('names file and line of what it cannot read: %j', (text, line, reason) => {
    let caught: unknown;
    try {
      parseScript(text, 'climb.txt');
    } catch (error) {
      caught = error;
    }
    expect(caught).toBeInstanceOf(ScriptError);
    expect((caught as ScriptError).message).toContain(`climb.txt:${line}: `);
    expect((caught as ScriptError).message).toContain(reason);
  });
});
