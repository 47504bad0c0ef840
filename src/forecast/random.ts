/**
 * Random numbers for the ascents: one small generator per ascent, seeded by trip and ascent, so that
 * slices may be run in any order and every platform draws the same numbers.
 *
 * The generator is sfc32 (Chris Doty-Humphrey, PractRand); normals by the ziggurat of Marsaglia and
 * Tsang (2000, J. Stat. Softw. 5/8) with layer and value taken from separate bits, as Doornik (2005)
 * asks. `expFast` is used instead of Math.exp because engines may differ in the last bit, and
 * because it is quicker.
 */

const LAYERS = 128;
const TAIL_START = 3.442619855899;
const LAYER_AREA = 9.91256303526217e-3;
/** 24-bit signed values: the top bits of the draw, beside the 7 for the layer. */
const VALUE_RANGE = 2 ** 23;

const ziggurat = buildZiggurat();
const zigLimit = ziggurat.limit;
const zigScale = ziggurat.scale;
const zigDensity = ziggurat.density;

function buildZiggurat() {
  const limit = new Int32Array(LAYERS);
  const scale = new Float64Array(LAYERS);
  const densities = new Float64Array(LAYERS);
  const density = (x: number): number => Math.exp(-0.5 * x * x);
  let x = TAIL_START;
  const q = LAYER_AREA / density(x);
  limit[0] = Math.floor((x / q) * VALUE_RANGE);
  limit[1] = 0;
  scale[0] = q / VALUE_RANGE;
  scale[LAYERS - 1] = x / VALUE_RANGE;
  densities[0] = 1;
  densities[LAYERS - 1] = density(x);
  for (let i = LAYERS - 2; i >= 1; i--) {
    const next = Math.sqrt(-2 * Math.log(LAYER_AREA / x + density(x)));
    limit[i + 1] = Math.floor((next / x) * VALUE_RANGE);
    densities[i] = density(next);
    scale[i] = next / VALUE_RANGE;
    x = next;
  }
  return { limit, scale, density: densities };
}

/** The state of one generator. */
export interface RandomState {
  a: number;
  b: number;
  c: number;
  counter: number;
}

/** A generator for one ascent of one trip. `seed` and `stream` are taken as 32-bit integers. */
export function randomState(seed: number, stream: number): RandomState {
  const state = { a: seed | 0, b: stream | 0, c: 0x9e3779b9 | 0, counter: 1 };
  for (let i = 0; i < 12; i++) nextInt(state);
  return state;
}

/** Next 32 random bits as a signed integer. */
export function nextInt(s: RandomState): number {
  const t = (((s.a + s.b) | 0) + s.counter) | 0;
  s.counter = (s.counter + 1) | 0;
  s.a = s.b ^ (s.b >>> 9);
  s.b = (s.c + (s.c << 3)) | 0;
  s.c = (((s.c << 21) | (s.c >>> 11)) + t) | 0;
  return t;
}

/** Uniform strictly between 0 and 1. */
export function nextUniform(s: RandomState): number {
  return ((nextInt(s) >>> 0) + 0.5) / 4294967296;
}

/** The rare way out of the ziggurat: wedge or tail. Returns NaN when the draw has to be repeated. */
function outsideLayer(s: RandomState, layer: number, value: number): number {
  if (layer === 0) {
    let x: number;
    let y: number;
    do {
      x = -Math.log(nextUniform(s)) / TAIL_START;
      y = -Math.log(nextUniform(s));
    } while (y + y < x * x);
    return value > 0 ? TAIL_START + x : -TAIL_START - x;
  }
  const x = value * (zigScale[layer] as number);
  const low = zigDensity[layer] as number;
  const high = zigDensity[layer - 1] as number;
  return low + nextUniform(s) * (high - low) < Math.exp(-0.5 * x * x) ? x : Number.NaN;
}

/** Fills `out[0..count)` with standard normals of the given ascent. */
export function fillNormals(out: Float64Array, count: number, seed: number, stream: number): void {
  const s = randomState(seed, stream);
  let { a, b, c, counter } = s;
  for (let i = 0; i < count; i++) {
    // sfc32 written out: the state stays in registers, which halves the cost of a draw.
    const t = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = (((c << 21) | (c >>> 11)) + t) | 0;
    const layer = t & (LAYERS - 1);
    const value = t >> 8;
    if ((value < 0 ? -value : value) < (zigLimit[layer] as number)) {
      out[i] = value * (zigScale[layer] as number);
      continue;
    }
    s.a = a;
    s.b = b;
    s.c = c;
    s.counter = counter;
    const x = outsideLayer(s, layer, value);
    ({ a, b, c, counter } = s);
    if (Number.isNaN(x)) i--;
    else out[i] = x;
  }
}

const EXP_STEPS = 64;
const EXP_MAX = 24;
const expTable = Float64Array.from({ length: 2 * EXP_MAX * EXP_STEPS + 1 }, (_, i) =>
  Math.exp(i / EXP_STEPS - EXP_MAX),
);

/**
 * e^x to about 1 part in 10^12 for |x| ≤ 23; arguments beyond are clamped, which no stage of a pitch
 * comes near (e^23 min is 18,000 years).
 */
export function expFast(x: number): number {
  const clamped = Math.min(23, Math.max(-23, x));
  const index = ((clamped + EXP_MAX) * EXP_STEPS + 0.5) | 0;
  const r = clamped - (index / EXP_STEPS - EXP_MAX);
  return (expTable[index] as number) * (1 + r * (1 + r * (0.5 + r * (1 / 6 + r * (1 / 24)))));
}
