import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { renderReply } from '../../src/chat/discord/render.ts';
import { renderText } from '../../src/chat/local/render.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';
import { NOW_MS } from '../trip/build.ts';
import { violations } from '../trip/checker.ts';
import { ask } from './ask.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
  w.at('2031-06-12 12:00');
});
afterEach(() => w.close());

const GRETA = { user: 'local:greta', name: 'Greta', channel: 'local:main' };
const MARA = { user: 'local:mara', name: 'Mara', channel: 'local:main' };

describe('delivered twice', () => {
  test('the same answer, and nothing more in the record', async () => {
    const first = await ask(w, { ...GRETA, id: 'i-1' }, 'pitch done', { number: 1, at: '07:00' });
    const { history } = await w.trip();
    w.at('2031-06-12 12:05');
    const again = await ask(w, { ...GRETA, id: 'i-1' }, 'pitch done', { number: 1, at: '07:00' });
    expect(again).toEqual(first);
    expect((await w.trip()).history).toEqual(history);
  });

  test('holds for every command that changes something, and for opening', async () => {
    const lines: [string, Record<string, string | number | boolean>][] = [
      ['roster add', { name: 'Pål', role: 'ground' }],
      ['roster edit', { who: 'Ines', free: '7a' }],
      ['roster remove', { who: 'Pål' }],
      ['topo edit', { number: 8, free: '6b' }],
      ['topo edit', { number: 9, length: '20' }],
      ['topo remove', { number: 9 }],
      ['lead order', { rule: 'block', n: 2 }],
      ['lead assign', { pitch: 3, leader: 'mara', sure: true }],
      ['lead swap', { a: 2, b: 4, sure: true }],
      ['lead link', { pitch: 6 }],
      ['lead unlink', { pitch: 6 }],
      ['trip edit', { units: 'ft' }],
      ['trip depart', { at: '06:00' }],
      ['pitch start', { at: '06:10' }],
      ['pitch fixed', { at: '06:30' }],
      ['pitch done', { at: '07:00' }],
      ['pitch break', { minutes: 5, at: '06:20', number: 1 }],
      ['pitch amend', { number: 1, at: '06:22' }],
      ['pitch strike', { number: 1 }],
      ['trip down', { at: '11:00', sure: true }],
      ['trip close', {}],
    ];
    for (const [i, [path, raw]] of lines.entries()) {
      const once = await ask(w, { ...MARA, id: `i-${i}` }, path, raw);
      expect([path, once.refused, text(once)]).toEqual([path, undefined, expect.any(String)]);
      const before = (await w.trip()).history.length;
      const row = (await w.trip()).row.id;
      const twice = await ask(w, { ...MARA, id: `i-${i}`, trip: row }, path, raw);
      expect([path, twice]).toEqual([path, once]);
      expect([path, (await w.trip()).history.length]).toEqual([path, before]);
    }
    const other = { ...MARA, channel: 'c-9', id: 'i-open' };
    const opened = await ask(w, other, 'trip open', { name: 'Slab', zone: 'Europe/Oslo' });
    expect(await ask(w, other, 'trip open', { name: 'Slab', zone: 'Europe/Oslo' })).toEqual(opened);
  });

  test('a refusal is decided anew: nothing was stored with it', async () => {
    const early = await ask(w, { ...GRETA, id: 'i-1' }, 'pitch done', { number: 2, at: '08:00' });
    expect(early.refused).toBe(true);
    await ask(w, GRETA, 'pitch done', { number: 1, at: '07:00' });
    const later = await ask(w, { ...GRETA, id: 'i-1' }, 'pitch done', { number: 2, at: '08:00' });
    expect(later.refused).toBeUndefined();
  });
});

describe('at the same moment', () => {
  test('no post of several people is lost, and numbers stay unique', async () => {
    const people = [GRETA, MARA, { ...MARA, user: 'local:jonas', name: 'Jonas' }];
    const before = (await w.trip()).history.length;
    const replies = await Promise.all(
      Array.from({ length: 12 }, (_, i) =>
        ask(w, people[i % 3] as typeof MARA, 'roster add', { name: `Helper ${i}`, role: 'ground' }),
      ),
    );
    expect(replies.filter((r) => r.refused)).toEqual([]);
    const { history, state } = await w.trip();
    expect(history).toHaveLength(before + 12);
    expect(history.map((e) => e.seq)).toEqual(history.map((_, i) => i + 1));
    expect(state.people.filter((p) => p.name.startsWith('Helper'))).toHaveLength(12);
  });

  test('the same pitch told by two: one stands, the other hears of it', async () => {
    const both = await Promise.all([
      ask(w, GRETA, 'pitch done', { number: 1, at: '07:00' }),
      ask(w, MARA, 'pitch done', { number: 1, at: '07:05' }),
    ]);
    const [refused] = both.filter((r) => r.refused);
    expect(both.filter((r) => r.refused)).toHaveLength(1);
    expect(text(refused as never)).toMatch(/^Pitch 1 is done already, at 07:0[05] /);
  });

  test('a pitch and the next one, told by two: whichever comes first, nothing impossible stands', async () => {
    await Promise.all([
      ask(w, GRETA, 'pitch done', { number: 2, at: '08:00' }),
      ask(w, MARA, 'pitch done', { number: 1, at: '07:00' }),
      ask(w, GRETA, 'pitch start', { number: 2, at: '07:10' }),
    ]);
    expect(violations((await w.trip()).history, NOW_MS)).toEqual([]);
  });

  test('the same delivery twice at once counts once', async () => {
    const before = (await w.trip()).history.length;
    const [a, b] = await Promise.all([
      ask(w, { ...GRETA, id: 'i-7' }, 'pitch done', { number: 1, at: '07:00' }),
      ask(w, { ...GRETA, id: 'i-7' }, 'pitch done', { number: 1, at: '07:00' }),
    ]);
    expect(a).toEqual(b);
    expect((await w.trip()).history).toHaveLength(before + 1);
  });
});

describe('names that mean something to a chat', () => {
  const NAMES = [
    '@everyone',
    '<@900000000000000001>',
    '**bold** _it_ ||spoiler||',
    '# head `code`',
    '\u202egnp.exe',
  ];

  test.each(NAMES)('%s is shown as typed and pings nobody', async (name) => {
    await ask(w, MARA, 'roster add', { name, free: '8a' });
    await ask(w, MARA, 'lead order', { rule: 'list', names: `${name},` });
    for (const path of [
      'lead next',
      'lead plan',
      'topo show',
      'trip show',
      'roster show',
      'log show',
    ]) {
      const reply = await ask(w, MARA, path);
      for (const { content, pings } of renderReply(reply, { nowMs: w.clock.wallMs() }).messages) {
        expect(pings).toEqual([]);
        // In a code block nothing is read as anything but itself.
        const outside = content.replace(/```[^`]*```|`[^`\n]*`/gu, '');
        expect(outside).not.toMatch(/(?<!\\)@everyone|(?<!\\)<@|(?<!\\)\*\*bold|(?<!\\)`|^#/m);
        expect(content).not.toContain('\u202e');
      }
    }
  });

  test('every answer fits a terminal of 80 columns', async () => {
    const lines = [
      '/help',
      '/trip show',
      '/roster show',
      '/topo show',
      '/lead plan',
      '/lead next',
      '/log show',
    ];
    for (const { name } of w.app.commands) lines.push(`/help about:${name}`);
    for (const line of lines) {
      for (const shown of renderText(await w.say('mara', line), { width: 80 })) {
        expect([line, shown, [...shown].length <= 80]).toEqual([line, shown, true]);
      }
    }
  });
});
