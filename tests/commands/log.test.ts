import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { toFact } from '../../src/record/file/columns.ts';
import { exportCsv, exportJsonLines } from '../../src/record/file/export.ts';
import { readRecord } from '../../src/record/file/import.ts';
import { importedAuthor, type RawFact } from '../../src/trip/fact.ts';
import { kindOf } from '../../src/trip/kinds/index.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { plainWhereTold } from '../trip/plain.ts';
import { ask, labels } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
});
afterEach(() => w.close());

const MARA = { user: 'local:mara', name: 'Mara' };

/** Every kind of post there is from the commands of this issue, some struck, some amended. */
async function busyTrip(): Promise<void> {
  await openDemo(w);
  for (const line of [
    '/roster edit who:Ines free:7a medical:"none known, \\"quote\\"; semi"',
    '/lead order rule:block n:2',
    '/lead link pitch:6',
    '/trip depart',
  ]) {
    expect([line, (await w.say('mara', line)).refused]).toEqual([line, undefined]);
  }
  w.at('2031-06-12 12:00');
  for (const line of [
    '/pitch done number:1 at:07:00',
    '/pitch start number:2 at:07:10',
    '/pitch fixed number:2 at:08:00',
    '/pitch done number:2 at:08:30',
    '/pitch done number:3 at:09:30',
    '/pitch strike number:3 why:"wrong party, 2 ropes left"',
    '/pitch break minutes:10 at:08:20 number:2',
    '/pitch amend number:2 at:08:20',
    '/pitch amend number:1 at:07:05 leader:ines',
  ]) {
    expect([line, (await w.say('greta', line)).refused]).toEqual([line, undefined]);
  }
}

describe('/log show', () => {
  test('the newest ten first, turned by buttons, from everywhere', async () => {
    await busyTrip();
    const newest = await w.say('greta', '/log show');
    expect(newest.private).toBe(true);
    expect(text(newest)).toMatch(/^Harrow Tower: 20 entries, page 1 of 2\.\n11\. /);
    expect(text(newest)).toContain(
      '16. pitch 3 done at 09:30, Jonas led (told 12:00 by Greta) [struck by 17]',
    );
    expect(text(newest)).toContain(
      '17. entry 16 struck: wrong party, 2 ropes left (told 12:00 by Greta)',
    );
    expect(text(newest)).toContain('20. entry 12 amended to 07:05, Ines led (told 12:00 by Greta)');
    expect(labels(newest)).toEqual(['Older']);
    const older = await w.say('greta', '[Older]');
    expect(text(older)).toMatch(/page 2 of 2\.\n1\. trip opened: Harrow Tower/);
    expect(labels(older)).toEqual(['Newer']);
    expect(text(await w.say('greta', '/log show page:99'))).toContain('page 2 of 2');
    for (const line of text(newest).split('\n')) expect(line.length).toBeLessThan(100);
  });

  test('somebody not on the roster sees that something private was told, and by whom, not what', async () => {
    await busyTrip();
    for (const line of [
      '/roster add name:Tove role:ground',
      '/roster remove who:Tove reason:"a broken wrist"',
      '/overdue details vehicle:"green van"',
      '/overdue sheet',
      '/checkin ok words:"all well"',
    ])
      expect([line, (await w.say('mara', line)).refused]).toEqual([line, undefined]);
    const { state } = await w.trip();
    const hidden = state.entries.flatMap(({ event }) =>
      kindOf(event.kind).private ? [event.seq] : [],
    );
    expect(hidden.length).toBeGreaterThan(6);
    const pages = async (who: string) => {
      const all: string[] = [];
      for (const page of [1, 2, 3]) {
        const lines = text(await w.say(who, `/log show page:${page}`)).split('\n');
        all.push(...lines.slice(1));
      }
      return all;
    };
    const bySeq = (lines: string[]) => new Map(lines.map((l) => [Number.parseInt(l, 10), l]));
    const [theirs, ours] = [bySeq(await pages('stray')), bySeq(await pages('ines'))];
    for (const [seq, line] of ours) {
      if (hidden.includes(seq)) expect(theirs.get(seq)).toMatch(/^\d+\. for the roster only \(/);
      else expect(theirs.get(seq)).toBe(line);
    }
    const seen = [...theirs.values()].join('\n');
    for (const words of ['broken wrist', 'vehicle', 'Ines edited', 'sheet'])
      expect([words, seen.includes(words)]).toEqual([words, false]);
    expect(seen).toContain('“all well”');
    expect([...ours.values()].join('\n')).toContain('a broken wrist');
  });

  test('days are named when they differ', async () => {
    await busyTrip();
    w.at('2031-06-14 09:00');
    expect(text(await w.say('mara', '/log show'))).toContain('pitch 1 done at Thu 07:00');
  });
});

describe('/log export, and back', () => {
  test.each(['jsonl', 'csv'])(
    'a %s record opens an identical trip, beside its own',
    async (kind) => {
      await busyTrip();
      const { state, history } = await w.trip();
      const out = await w.say('mara', '/log export');
      const file = out.files?.find((f) => f.name === `harrow-tower-record.${kind}`);
      if (file === undefined) throw new Error('no file');
      const record = { name: file.name, size: file.bytes.length, bytes: async () => file.bytes };
      const opened = await ask(w, { ...MARA, channel: 'c-2' }, 'trip open', { record });
      expect(text(opened)).toContain(
        'Harrow Tower is open in this channel, from a record of 20 entries.',
      );
      const row = await w.store.openTripIn('c-2');
      const copied = await w.store.events(row?.id as string);
      const there = { trip: row?.id };
      const from = history.map((e) => ({ ...e, ...there, by: importedAuthor(e.by) }));
      expect(copied.slice(0, 20)).toEqual(from);
      expect(copied[20]).toMatchObject({ kind: 'log.imported', by: { id: 'local:mara' } });
      expect(copied[20]?.data).toMatchObject({ entries: 20, chain: 'holds' });
      // A file may say of anybody that they agreed to be contact: here they are asked anew.
      expect(copied[21]).toMatchObject({ kind: 'contact.asked', data: { person: 'dana' } });
      // Undoing goes on where it was: entries are known by their ids.
      const undone = await ask(w, { ...MARA, channel: 'c-2' }, 'pitch strike', { entry: 17 });
      expect(text(undone)).toContain('Brought back: pitch 3 done at 09:30');
      expect((await w.trip()).state).toEqual(state);
    },
  );

  test('a closed trip comes back to be read', async () => {
    await busyTrip();
    await w.say('mara', '/trip down');
    await w.say('mara', '[Yes, everyone is down]');
    await w.say('mara', '/trip close');
    const [file] = (await w.say('mara', '/log export')).files ?? [];
    if (file === undefined) throw new Error('no file');
    const record = { name: file.name, size: file.bytes.length, bytes: async () => file.bytes };
    const opened = await ask(w, { ...MARA, channel: 'c-2' }, 'trip open', { record });
    expect(text(opened)).toContain('is here to be read');
    expect(text(await ask(w, { ...MARA, channel: 'c-2' }, 'log show'))).toContain('trip closed');
    expect(await w.store.openTripIn('c-2')).toBeUndefined();
  });

  test('a stranger to the record cannot open it, and nothing is left behind', async () => {
    await busyTrip();
    const [file] = (await w.say('mara', '/log export')).files ?? [];
    const record = { name: 'r', size: 1, bytes: async () => file?.bytes as Uint8Array };
    const from = { user: '900000000000000007', channel: 'c-3' };
    expect(text(await ask(w, from, 'trip open', { record }))).toContain(
      "You aren't on the roster in that record",
    );
    expect(await w.store.lastTripIn('c-3')).toBeUndefined();
  });

  const damaged: [string, (jsonl: string) => string, string][] = [
    [
      'a line lost',
      (t) =>
        t
          .split('\n')
          .filter((_, i) => i !== 4)
          .join('\n'),
      'seq is 6, should be 5',
    ],
    ['two lines the same', (t) => t.replace(/^(.*\n)/, '$1$1'), 'seq is 1, should be 2'],
    ['a line that is no JSON', (t) => t.replace('{"seq":3', '{"seq:3'), "Line 3 isn't JSON"],
    ['a time that is none', (t) => t.replace(/"at":"2031[^"]*"/, '"at":"noon"'), 'Line 1: at:'],
    [
      'an unknown kind',
      (t) => t.replaceAll('trip.departed', 'trip.flown'),
      'Unknown kind of entry',
    ],
    ['a field nobody knows', (t) => t.replace('"kind"', '"colour":"red","kind"'), 'Line 1:'],
    [
      'a time to come',
      (t) => t.replace(/("kind":"pitch.done","at":")2031/, '$12041'),
      'is still to come',
    ],
    [
      'a zone that is none',
      (t) => t.replace('"zone":"Europe/Oslo"', '"zone":"Mars/Base"'),
      'not a zone of the tz database',
    ],
    ['no opening', (t) => t.replace('trip.opened', 'trip.edited'), ''],
    [
      'an impossible climb',
      (t) => t.replaceAll(/"data":\{"pitch":1,"leader"/g, '"data":{"pitch":4,"leader"'),
      'Pitches 1 and 3',
    ],
    ['nothing', () => '', 'The file holds no entries.'],
    ['a picture', () => '\u0089PNG', 'The file holds no entries.'],
  ];
  test.each(damaged)('with %s it is refused and nothing is opened', async (_, damage, says) => {
    await busyTrip();
    const [file] = (await w.say('mara', '/log export')).files ?? [];
    const broken = damage(new TextDecoder().decode(file?.bytes));
    const bytes = new TextEncoder().encode(broken);
    const record = { name: 'r.jsonl', size: bytes.length, bytes: async () => bytes };
    const reply = await ask(w, { ...MARA, channel: 'c-2' }, 'trip open', { record });
    expect(reply.refused).toBe(true);
    expect(text(reply)).toContain(says);
    expect(text(reply)).not.toContain('Something went wrong');
    expect(await w.store.lastTripIn('c-2')).toBeUndefined();
  });
});

describe('the files hold any text exactly', () => {
  // Quotes, separators, line ends of every kind, right-to-left, combining marks, emoji, formulas.
  const odd = fc.oneof(
    fc.string({ unit: 'grapheme', maxLength: 20 }),
    fc.string({
      unit: fc.constantFrom(
        '"',
        ',',
        ';',
        '\n',
        '\r',
        '\t',
        ' ',
        '\\',
        '=',
        'ש',
        '\u202e',
        '🧗',
        '\u0301',
        '\ufeff',
        "'",
      ),
      maxLength: 12,
    }),
  );
  const event = fc.record({
    id: fc.string({ unit: 'grapheme-ascii', minLength: 1, maxLength: 20 }),
    kind: fc.constantFrom('pitch.done', 'trip.edited'),
    atMs: fc.integer({ min: 0, max: 4e12 }),
    recordedAtMs: fc.integer({ min: 0, max: 4e12 }),
    by: fc.record({ id: odd, name: odd }),
    typed: fc.option(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 20 }), {
      nil: undefined,
    }),
    data: fc.dictionary(fc.string({ maxLength: 8 }), fc.oneof(odd, fc.integer(), fc.boolean())),
  });

  test('export, then read back, is the same record', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.uniqueArray(event, { selector: (e) => e.id, minLength: 1, maxLength: 8 }),
        async (some) => {
          const record = some.map(
            ({ typed, ...rest }, i): RawFact => ({
              trip: 't',
              seq: i + 1,
              ...rest,
              ...(typed === undefined ? {} : { typed }),
            }),
          );
          for (const write of [exportJsonLines, exportCsv]) {
            const { bytes } = await write('r', record);
            expect((await readRecord(bytes)).map((l) => toFact('t', l))).toEqual(record);
          }
        },
      ),
    );
  });

  test('and so is the trip, whatever people are called', async () => {
    const names = [
      '"Q", the; one',
      '=SUM(A1)',
      'שלום עולם',
      '🧗🏽‍♀️ Åse',
      "O'Brien\\n",
      '@everyone **bold**',
    ];
    await w.say('mara', '/trip open name:"Odd, \\"names\\"" zone:Europe/Oslo');
    for (const name of names) {
      const added = await ask(w, { ...MARA, channel: 'local:main' }, 'roster add', { name });
      expect([name, added.refused]).toEqual([name, undefined]);
    }
    const { state } = await w.trip();
    for (const [i, file] of ((await w.say('mara', '/log export')).files ?? []).entries()) {
      const record = { name: file.name, size: file.bytes.length, bytes: async () => file.bytes };
      await ask(w, { ...MARA, channel: `c-${i}` }, 'trip open', { record });
      const row = await w.store.openTripIn(`c-${i}`);
      const copy = row === undefined ? undefined : await w.app.records.read(row);
      expect(plainWhereTold(copy?.state as typeof state)).toEqual(
        plainWhereTold({ ...state, id: row?.id as string }),
      );
    }
  });
});
