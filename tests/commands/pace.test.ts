import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DEFAULTS } from '../../src/forecast/defaults.ts';
import { climb, topoutSaid } from '../app/forecast/said.ts';
import { openDemo, text, type World, world } from '../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

const pace = (typed = '') => w.say('mara', `/trip pace ${typed}`.trim());
const own = async () => (await w.trip()).state.settings.pace;

describe('the figures', () => {
  it('are all listed with unit, range, origin and source', async () => {
    const reply = await pace();
    expect(reply.private).toBe(true);
    const [file] = reply.files ?? [];
    const listed = new TextDecoder().decode(file?.bytes);
    for (const d of DEFAULTS) {
      expect(listed).toContain(`${d.name}: ${d.value} ${d.unit} (${d.low} to ${d.high})`);
      expect(listed).toContain(`${d.origin}: ${d.source}`);
    }
    expect(listed.split('\n\n')).toHaveLength(DEFAULTS.length);
  });

  it('can be set within their range only, each one of them', async () => {
    for (const d of DEFAULTS.filter((_, i) => i % 7 === 0)) {
      const over = await pace(`figure:${d.name} value:${d.high * 2 + 1}`);
      expect([over.refused, text(over)]).toEqual([
        true,
        expect.stringContaining(`can be ${d.low} to ${d.high} ${d.unit}.`),
      ]);
      const set = await pace(`figure:${d.name} value:${d.high}`);
      expect(set.refused).toBeUndefined();
      expect(await own()).toEqual({ [d.name]: d.high });
      await w.say('mara', '[Undo]');
      expect(await own()).toEqual({});
    }
  });

  it('move the top-out the way they should, and back', async () => {
    const before = topoutSaid(await w.say('mara', '/topout'));
    const slow = await pace('figure:freeLeadMinPerM value:1');
    expect(text(slow)).toMatch(
      /^Leading free, well within the leader’s grade \(min\/m\): 1\.\nTop-out /,
    );
    expect(topoutSaid(slow)).not.toBe(before);
    expect(text(await pace())).toContain('(min/m): 1, your own.');
    const back = await pace('figure:freeLeadMinPerM');
    expect(text(back)).toContain('back to the default');
    expect(topoutSaid(back)).toBe(before);
  });

  it('begin with how fast the party says it is, and show what is believed', async () => {
    expect(text(await pace())).toMatch(
      /^Nobody said how fast this party is, .*\/trip pace party:average\n.*Believed, times the figures: 0\.70 \(/s,
    );
    const wide = text(await w.say('mara', '/topout'));
    expect(wide).toContain('Nothing climbed yet: wide. Narrower: /trip pace party:');
    const said = await pace('party:efficient');
    expect(text(said)).toMatch(/^This party: efficient\.\nTop-out /);
    expect(text(await pace())).toMatch(/^This party says of itself: efficient\./);
    const narrower = text(await w.say('mara', '/topout'));
    expect(narrower).toContain('Nothing climbed yet: wide.');
    expect(narrower).not.toContain('Narrower');
    await w.say('mara', '[Undo]');
    const clash = await pace('party:average figure:darkFactor');
    expect([clash.refused, text(clash)]).toEqual([true, expect.stringMatching(/^One at a time/)]);
  });

  it('show all that was learnt: the party, aid, hauling, today, and each leader', async () => {
    await climb(w, '2031-06-12', [
      ['06:05', 'mara', '/trip depart'],
      ['06:10', 'mara', '/pitch start'],
      ['07:10', 'mara', '/pitch done'],
      ['08:10', 'mara', '/pitch done'],
    ]);
    const learnt = text(await pace());
    expect(learnt).toMatch(/party \d\.\d\d \(.*\) from 2 told\./);
    expect(learnt).toMatch(/On top of that: aid .*, changeovers .*, today .*\./);
    expect(learnt).toMatch(/leading \d\.\d\d \(.*\), on aid \d\.\d\d \(.*\), from 1\./);
    expect(learnt).not.toContain('Uneven');
  });

  it('say how uneven the pitches were, each side by itself', async () => {
    await climb(w, '2031-06-12', [
      ['06:05', 'mara', '/trip depart'],
      ['06:10', 'mara', '/pitch start'],
      ['06:50', 'mara', '/pitch done'],
      ['07:30', 'mara', '/pitch done'],
      ['11:30', 'mara', '/pitch done'],
    ]);
    const said =
      /Uneven so far: slow pitches .* stray (\d\.\d) times .*, quick ones (\d\.\d)\./u.exec(
        text(await pace()),
      );
    expect(Number(said?.[1])).toBeGreaterThan(Number(said?.[2]));
  });

  it('of a climber stretch that climber’s leads alone', async () => {
    const reply = await pace('climber:Mara value:2');
    expect(text(reply)).toMatch(/^Mara leading, times the default: 2\.\n/);
    expect(await own()).toEqual({ 'leadFactor:mara': 2 });
    const wild = await pace('climber:Mara value:99');
    expect([wild.refused, text(wild)]).toEqual([
      true,
      expect.stringMatching(/^Mara leading, times the default can be [\d.]+ to [\d.]+/),
    ]);
  });

  it('asked for unclearly are refused with how to ask', async () => {
    const before = await own();
    const refused: [string, RegExp][] = [
      ['value:3', /^Which figure is that\?/],
      ['figure:darkFactor climber:Mara value:2', /^One at a time/],
      ['figure:colour value:2', /^There is no figure colour\.\n\/trip pace lists them\./],
      ['climber:Bo value:1', /Bo/],
    ];
    for (const [typed, said] of refused) {
      const reply = await pace(typed);
      expect([typed, reply.refused, text(reply)]).toEqual([
        typed,
        true,
        expect.stringMatching(said),
      ]);
    }
    expect(await own()).toEqual(before);
  });

  it('are offered by name or by what they are while one types', async () => {
    const def = w.app.commands.find((c) => c.name === 'trip')?.subs?.pace?.options.figure;
    if (def?.type !== 'string' || def.suggest === undefined) throw new Error('no completion');
    const call = {
      id: 'x',
      atMs: w.clock.wallMs(),
      actor: { id: 'local:mara', name: 'Mara' },
      where: { channel: 'c', direct: false },
    };
    const offered = await def.suggest(call, 'dusk', w.app, {});
    expect(offered.map((o) => o.value)).toContain('darkFactor');
    expect((await def.suggest(call, '', w.app, {})).length).toBeLessThanOrEqual(25);
  });
});

describe('pace learnt', () => {
  it('is told with its interval, from what was posted', async () => {
    await climb(w, '2031-06-12', [
      ['06:00', 'mara', '/trip depart'],
      ['06:10', 'greta', '/pitch start'],
      ['07:20', 'greta', '/pitch fixed'],
      ['08:00', 'greta', '/pitch done'],
      ['10:30', 'greta', '/pitch done'],
    ]);
    const said = text(await w.say('mara', '/topout details:yes'));
    const [, factor, low, high, stages] =
      /party ([\d.]+) \(([\d.]+) to ([\d.]+)\) from (\d+) told\./.exec(said) ?? [];
    // Two from a pitch with its line fixed, one from a pitch told done.
    expect(stages).toBe('3');
    expect(Number(low)).toBeLessThan(Number(factor));
    expect(Number(high)).toBeGreaterThan(Number(factor));
    expect(Number(factor)).toBeGreaterThan(1.1);
    expect(said).toMatch(/Mara leading [\d.]+ \(/);
  });

  it('takes pitches told in one go as one stretch, not as hours and then no time', async () => {
    const factor = async (posts: [string, string, string][]) => {
      const other = await world();
      try {
        await openDemo(other);
        await climb(other, '2031-06-12', [
          ['06:00', 'mara', '/trip depart'],
          ['06:10', 'greta', '/pitch start'],
          ...posts,
          ['09:05', 'greta', '/pitch start number:3'],
        ]);
        const said = text(await other.say('mara', '/topout details:yes'));
        return Number(/party ([\d.]+) /.exec(said)?.[1]);
      } finally {
        await other.close();
      }
    };
    const apart = await factor([
      ['07:30', 'greta', '/pitch done number:1'],
      ['09:00', 'greta', '/pitch done number:2'],
    ]);
    const together = await factor([
      ['09:00', 'greta', '/pitch done number:1'],
      ['09:00', 'greta', '/pitch done number:2'],
    ]);
    // The same three hours for the same two pitches say nearly the same.
    expect(Math.abs(Math.log(together / apart))).toBeLessThan(0.1);
  });
});
