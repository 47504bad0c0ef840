import { describe, expect, it } from 'vitest';
import { altOf } from '../../../src/page/picture/alt.ts';
import { drawSvg } from '../../../src/page/picture/draw.ts';
import type { Scene } from '../../../src/page/picture/scene.ts';
import { polarNight, rainTold, SCENES, threeDays } from '../../pictures/scenes.ts';
import { corners, type Node, nodesOf, num, ofPart } from './svg.ts';

const MINUTE = 60_000;
const drawn = Object.entries(SCENES).filter(([name]) => name !== 'empty');

/**
 * Time and height of a place in the drawing, worked out from what the drawing itself says: its line
 * at now, the hours written under its ticks and its anchors' lines. Nothing of the code that laid it
 * out is used.
 */
function scalesOf(scene: Scene, nodes: readonly Node[]) {
  const hours = ofPart(nodes, 'hour', 'text').map((n) => ({ x: num(n, 'x'), text: n.text }));
  const nowX = num(ofPart(nodes, 'now', 'line')[0], 'x1');
  // The two that stand closest have no other between them that was left out for want of room.
  const pairs = hours.slice(1).map((h, i) => ({ from: hours[i] ?? h, to: h }));
  const [pair] = pairs.sort((a, b) => a.to.x - a.from.x - (b.to.x - b.from.x));
  if (pair === undefined) throw new Error('few hours');
  const perX = (hoursApart(pair.from.text, pair.to.text) * 3_600_000) / (pair.to.x - pair.from.x);
  const lines = ofPart(nodes, 'anchor', 'line').map((n) => num(n, 'y1'));
  const [ground, top] = [Math.max(...lines), Math.min(...lines)];
  const topM = scene.levels.at(-1)?.heightM ?? 0;
  return {
    atMs: (x: number) => scene.nowMs + (x - nowX) * perX,
    heightM: (y: number) => ((ground - y) / (ground - top)) * topM,
  };
}

/** From `18:00` to `06:00` it is 12; between two that are alike a day has gone. */
function hoursApart(from: string, to: string): number {
  const [a = 0, b = 0] = [from, to].map((text) => Number(text.split(':')[0]));
  return (b - a + 24) % 24 || 24;
}

describe.each(drawn)('%s', (_name, make) => {
  const scene = make();
  const nodes = nodesOf(drawSvg(scene));

  it('has a told dot at every time and height that was told', () => {
    const dots = ofPart(nodes, 'told-point', 'circle');
    expect(dots).toHaveLength(scene.actual.length);
    const scale = scalesOf(scene, nodes);
    for (const [i, point] of scene.actual.entries()) {
      expect(scale.heightM(num(dots[i], 'cy'))).toBeCloseTo(point.heightM, -0.3);
      expect(Math.abs(scale.atMs(num(dots[i], 'cx')) - point.atMs)).toBeLessThan(5 * MINUTE);
    }
  });

  it('draws the fan through the quantiles', () => {
    if (scene.fan.length === 0) {
      expect(ofPart(nodes, 'projected', 'path')).toHaveLength(0);
      return;
    }
    const scale = scalesOf(scene, nodes);
    for (const [part, q] of [
      ['fan-early', 'q10'],
      ['projected', 'q50'],
      ['fan-late', 'q90'],
    ] as const) {
      const want = scene.fan.filter((f) => Number.isFinite(f[q]));
      const got = corners(ofPart(nodes, part, 'path')[0]?.attributes.d ?? '');
      expect(got).toHaveLength(want.length);
      for (const [i, f] of want.entries()) {
        expect(Math.abs(scale.atMs(got[i]?.x ?? 0) - f[q]) / MINUTE).toBeLessThan(5);
        expect(scale.heightM(got[i]?.y ?? 0)).toBeCloseTo(f.heightM, -0.3);
      }
    }
  });

  it('has a line at now and one for every mark shown, on its time', () => {
    expect(ofPart(nodes, 'now', 'line')).toHaveLength(1);
    const shown = ofPart(nodes, 'mark', 'text');
    expect(shown).toHaveLength(scene.marks.length);
    for (const mark of scene.marks) {
      expect(shown.map((n) => n.text)).toContain(mark.label);
    }
    const lines = [...ofPart(nodes, 'mark', 'line'), ...ofPart(nodes, 'binding', 'line')];
    if (scene.marks.length === 0) return;
    const scale = scalesOf(scene, nodes);
    const times = lines.map((n) => scale.atMs(num(n, 'x1'))).sort((a, b) => a - b);
    for (const [i, mark] of [...scene.marks].sort((a, b) => a.atMs - b.atMs).entries()) {
      expect(Math.abs((times[i] ?? 0) - mark.atMs) / MINUTE).toBeLessThan(5);
    }
  });

  it('names the pitch under way, the first and the last, with their leaders', () => {
    const numbers = ofPart(nodes, 'pitch', 'text').map((n) => Number(n.text));
    const current = scene.descending ? undefined : scene.levels.find((l) => !l.done)?.pitch;
    const want = [1, scene.levels.length, ...(current === undefined ? [] : [current])];
    expect(numbers).toEqual(expect.arrayContaining(want));
    const led = numbers.filter((n) => scene.levels[n - 1]?.leader !== undefined);
    expect(ofPart(nodes, 'leader', 'text').length).toBe(led.length);
  });

  it('is the same each time', () => {
    expect(drawSvg(make())).toBe(drawSvg(scene));
  });
});

describe('words from people', () => {
  it('are escaped, and scripts the font lacks are left out', () => {
    const scene = SCENES.day?.() as Scene;
    const nasty = {
      ...scene,
      title: '<script>alert("&")</script>\u0000\u202e',
      levels: scene.levels.map((l) => ({ ...l, leader: l.pitch === 6 ? 'Дана' : '<b>&"' })),
    };
    const nodes = nodesOf(drawSvg(nasty));
    expect(ofPart(nodes, 'title', 'text')[0]?.text).toContain('<script>');
    expect(nodes.some((n) => n.name === 'script' || n.name === 'b')).toBe(false);
    expect(ofPart(nodes, 'leader', 'text').map((n) => n.text)).not.toContain('Дана');
    expect(ofPart(nodes, 'pitch', 'text').map((n) => n.text)).toContain('6');
  });

  it('an empty trip says so and has no plot', () => {
    const nodes = nodesOf(drawSvg(SCENES.empty?.() as Scene));
    expect(ofPart(nodes, 'note', 'text')[0]?.text).toContain('No picture without a topo');
    expect(nodes.some((n) => n.name === 'line')).toBe(false);
  });

  it('a night that follows on a night has no edge between them', () => {
    expect(ofPart(nodesOf(drawSvg(polarNight())), 'night-edge', 'line')).toEqual([]);
    expect(ofPart(nodesOf(drawSvg(threeDays())), 'night-edge', 'line').length).toBeGreaterThan(3);
  });

  it('rain falls where it was told, denser where it is likelier, and the key names it', () => {
    const scene = rainTold();
    const nodes = nodesOf(drawSvg(scene));
    const scale = scalesOf(scene, nodes);
    const times = ofPart(nodes, 'rain', 'line').map((n) => scale.atMs(num(n, 'x1')));
    const [light, heavy] = scene.rains ?? [];
    const within = (spell: typeof light) =>
      times.filter((ms) => ms > (spell?.fromMs ?? 0) && ms < (spell?.toMs ?? 0)).length;
    expect(within(light) + within(heavy)).toBe(times.length);
    const anHour = (spell: typeof light) =>
      within(spell) / (((spell?.toMs ?? 0) - (spell?.fromMs ?? 0)) / (60 * MINUTE));
    expect(anHour(heavy)).toBeGreaterThan(2 * anHour(light));
    expect(ofPart(nodes, 'legend', 'text').map((n) => n.text)).toContain(
      'rain told, denser where likelier',
    );
    expect(altOf(scene)).toContain('Rain is told between 17:00 and 22:00, 80 % at most.');
    expect(ofPart(nodesOf(drawSvg(SCENES.day?.() as Scene)), 'rain', 'line')).toEqual([]);
  });

  it('carries nothing that a strict content policy of a page forbids', () => {
    for (const [, make] of drawn) {
      for (const node of nodesOf(drawSvg(make()))) {
        expect(node.name).not.toBe('style');
        expect(Object.keys(node.attributes)).not.toContain('style');
        expect(Object.keys(node.attributes).filter((a) => a.startsWith('on'))).toEqual([]);
      }
    }
  });
});
