import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { describe, expect, it, test } from 'vitest';

/** Habits that a reader can rely on, held here so that nobody has to look for them. */
const ROOT = join(import.meta.dirname, '..');
const paths = (folder: string) =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts'))
    .map((name) => join(folder, name))
    .sort();
const CODE = [...paths('src'), ...paths('commands')];
const TESTS = paths('tests');
const text = new Map([...CODE, ...TESTS].map((p) => [p, readFileSync(join(ROOT, p), 'utf8')]));

/** Comments and what stands in quotes may speak of anything; what is called may not. */
function codeOf(path: string): string {
  return (text.get(path) ?? '')
    .replace(/\/\*[\s\S]*?\*\//g, '')
    .replace(/(^|\s)\/\/.*$/gm, '')
    .replace(/'(?:[^'\\\n]|\\.)*'/g, "''");
}

function importsOf(path: string): string[] {
  return [...(text.get(path) ?? '').matchAll(/(?:from|import\()\s*'([^']+)'/g)].map(
    ([, what = '']) => (what.startsWith('.') ? normalize(join(dirname(path), what)) : what),
  );
}

/** Which layer a file is of; its number says what it may import: itself and what is lower. */
const LAYERS: readonly (readonly [prefix: string, rank: number])[] = [
  ['src/main.ts', 7],
  ['src/run/', 7],
  ['src/bot.ts', 6],
  ['commands/', 5],
  ['src/chat/', 5],
  ['src/page/', 5],
  ['src/inbox/', 5],
  ['src/app/', 4],
  ['src/ops/', 4],
  ['src/record/', 4],
  ['src/delivery/', 4],
  ['src/alarm/', 3],
  ['src/forecast/', 2],
  ['src/timetable/', 1],
  ['src/trip/', 1],
  ['src/say/', 0],
  ['src/store/port.ts', 1],
  ['src/store/seal.ts', 1],
  ['src/store/unwritable.ts', 1],
  ['src/store/canonical.ts', 1],
  ['src/settings.ts', 0],
  ['src/webhook-keys.ts', 0],
  ['src/public-name.ts', 0],
  ['src/time/', 0],
  ['src/limits.ts', 0],
];
/** Implementations of ports: only the wiring knows them. */
const PORTS = [
  'src/store/sqlite/',
  'src/store/holding.ts',
  'src/store/holding-outcome.ts',
  'src/store/holding-rests-on.ts',
  'src/store/postgres/',
  'src/store/copy.ts',
  'src/store/nonce.ts',
  'src/store/rows.ts',
  'src/system/',
  'src/mail/',
];

const rankOf = (path: string) => LAYERS.find(([prefix]) => path.startsWith(prefix))?.[1];

describe('imports run one way', () => {
  test('main → bot → commands, chat, page → app, record → alarm → forecast → trip → say, time', () => {
    const wrong = CODE.flatMap((path) => {
      const own = rankOf(path);
      if (own === undefined) return [];
      return importsOf(path).flatMap((target) => {
        const other = rankOf(target);
        return other !== undefined && other > own ? [`${path} → ${target}`] : [];
      });
    });
    expect(wrong).toEqual([]);
  });

  test('every file of src belongs to a layer or implements a port', () => {
    const strays = CODE.filter(
      (p) => rankOf(p) === undefined && !PORTS.some((x) => p.startsWith(x)),
    );
    expect(strays).toEqual([]);
  });

  test('implementations of ports are known to the wiring only', () => {
    const wrong = CODE.flatMap((path) => {
      if ((rankOf(path) ?? 0) >= 7 || PORTS.some((x) => path.startsWith(x))) return [];
      return importsOf(path).flatMap((target) =>
        PORTS.some((x) => target.startsWith(x)) ? [`${path} → ${target}`] : [],
      );
    });
    expect(wrong).toEqual([]);
  });

  it.each([
    ['src/trip/', /^(discord\.js|better-sqlite3|node:|luxon|fastify|pino)/],
    ['src/forecast/', /^(discord\.js|better-sqlite3|fastify|pino|node:(fs|net|http))/],
    ['src/time/', /^(discord\.js|better-sqlite3|fastify|pino|node:)/],
    ['src/app/', /^(discord\.js|better-sqlite3|fastify)/],
    // Its health page is served by fastify; nothing else there speaks to the outside.
    ['src/alarm/', /^(discord\.js|better-sqlite3|fastify|nodemailer|pino|node:(fs|net|http))/],
    ['src/timetable/', /^(discord\.js|better-sqlite3|fastify|pino|node:(fs|net|http))/],
    ['src/delivery/', /^(discord\.js|better-sqlite3|fastify)/],
    ['src/ops/', /^(discord\.js|better-sqlite3)/],
    ['src/record/', /^(discord\.js|better-sqlite3|fastify)/],
    ['commands/', /^(discord\.js|better-sqlite3|fastify|node:)/],
    ['src/page/', /^(discord\.js|better-sqlite3)/],
  ])('%s imports nothing like %s', (folder, forbidden) => {
    const wrong = CODE.filter((p) => p.startsWith(folder)).flatMap((path) =>
      importsOf(path).flatMap((what) => (forbidden.test(what) ? [`${path}: ${what}`] : [])),
    );
    expect(wrong).toEqual([]);
  });

  test('trip and forecast take time as an argument: not even the clock’s port', () => {
    const wrong = CODE.filter((p) => /^src\/(trip|forecast|alarm|timetable)\//.test(p)).flatMap(
      (path) => importsOf(path).flatMap((t) => (t === 'src/time/clock.ts' ? [path] : [])),
    );
    expect(wrong).toEqual([]);
  });
});

describe('sizes', () => {
  test('files are short: 300 lines of code, 400 of tests', () => {
    const lines = (path: string) => (text.get(path) ?? '').split('\n').length - 1;
    expect(CODE.filter((p) => lines(p) > 300)).toEqual([]);
    expect(TESTS.filter((p) => lines(p) > 400)).toEqual([]);
  });

  test('most files are much shorter', () => {
    const counts = CODE.map((p) => (text.get(p) ?? '').split('\n').length).sort((a, b) => a - b);
    expect(counts[Math.floor(counts.length / 2)]).toBeLessThanOrEqual(130);
    expect(counts[Math.floor(counts.length * 0.9)]).toBeLessThanOrEqual(250);
  });
});

describe('what others use is explained', () => {
  const PURE = /^src\/(trip|forecast|timetable|alarm|say|record)\//;
  const EXPORT = /^export (?:async |abstract |default )*(?:function|class|interface|type|const)\b/;

  test('every export of the pure folders, of say and of record has a doc comment', () => {
    const bare = CODE.filter((path) => PURE.test(path)).flatMap((path) => {
      const lines = (text.get(path) ?? '').split('\n');
      return lines.flatMap((line, i) => {
        if (!EXPORT.test(line)) return [];
        let above = i - 1;
        while (/^\/\/ biome-ignore/.test(lines[above] ?? '')) above -= 1;
        return /\*\/$/.test(lines[above] ?? '') ? [] : [`${path}:${i + 1} ${line}`];
      });
    });
    expect(bare).toEqual([]);
  });

  test.each([
    'src/trip/state.ts',
    'src/forecast/model.ts',
    'src/timetable/timetable.ts',
    'src/alarm/expectations.ts',
  ])('%s begins with the words of its folder', (path) => {
    const [head = ''] = (text.get(path) ?? '').split('*/');
    expect(head.startsWith('/**')).toBe(true);
    const words = [...head.matchAll(/^ \* - (?:\*\*)?([a-z][^:*]*)(?:\*\*)?: .+$/gm)];
    expect(words.length).toBeGreaterThanOrEqual(5);
  });
});

describe('nothing remembers at module level', () => {
  /** Answers of pure functions, kept because they are dear: the same with and without. */
  const KEPT_ANSWERS = [
    // Offsets of the tz database.
    'src/time/zone.ts: hours',
    // Which names are zones of the tz database.
    'src/time/zone.ts: zones',
    // The one name of a zone that has several.
    'src/time/find-zone.ts: engineNames',
    // The sun's times of a place and day.
    'src/forecast/daylight/kept.ts: kept',
    // Sentences of the catalogue, parsed.
    'src/say/contact/words.ts: kept',
    // What a state leaves unmet.
    'src/alarm/expectations.ts: keptUnmet',
  ];
  const WRITES = 'set|add|delete|clear|push|pop|shift|unshift|splice|fill|sort';

  test('a module binds once, and writes to nothing it holds', () => {
    const found = CODE.flatMap((path) => {
      const code = codeOf(path);
      const rebound = [...code.matchAll(/^(?:export )?(?:let|var) (\w+)/gm)];
      const held = [...code.matchAll(/^(?:export )?const (\w+)/gm)].filter(([, name = '']) =>
        new RegExp(
          `(?<![.\\w])${name}(\\.(${WRITES})\\(|\\[[^\\]\\n]*\\] *(\\?\\?|\\|\\|)?=[^=>])`,
        ).test(code),
      );
      const weak = [...code.matchAll(/^(?:export )?const (\w+)[^=\n]*= new Weak(?:Map|Set)/gm)];
      return [...new Set([...rebound, ...held, ...weak].map(([, name]) => `${path}: ${name}`))];
    });
    expect(found.sort()).toEqual([...KEPT_ANSWERS].sort());
  });
});

describe('what is not called', () => {
  const banned: [string, RegExp, (path: string) => boolean][] = [
    [
      'the system’s clock',
      /\bDate\.now\(|\bnew Date\(\)|\bDateTime\.(now|local)\(|\bperformance\.now\(/,
      outsideSystem,
    ],
    ['timers', /\b(setTimeout|setInterval)\(/, outsideSystem],
    ['chance', /\bMath\.random\(/, outsideSystem],
    ['the console', /\bconsole\.\w+\(/, () => true],
    ['process.env', /\bprocess\.env\b/, (p) => !/^src\/(main|settings)\.ts$|^src\/run\//.test(p)],
  ];
  function outsideSystem(path: string): boolean {
    return !path.startsWith('src/system/');
  }

  it.each(banned)('%s', (_, pattern, applies) => {
    const found = CODE.filter(applies).filter((path) => pattern.test(codeOf(path)));
    expect(found).toEqual([]);
  });

  test('the SQLite module, past the driver that knows which one this Node takes', () => {
    const found = [...CODE, ...TESTS].filter((path) =>
      /^import (?!type).* from 'better-sqlite3(-napi)?'/m.test(text.get(path) ?? ''),
    );
    expect(found).toEqual([]);
  });

  test('types and rules are not switched off', () => {
    const off = [...CODE, ...TESTS].filter(
      (path) =>
        new RegExp(
          `@ts-(${'ignore'}|${'nocheck'})|:\\s*${'any'}\\b|\\bas ${'any'}\\b|<${'any'}>`,
        ).test(codeOf(path)) ||
        new RegExp(`@ts-${'ignore'}|@ts-${'nocheck'}`).test(text.get(path) ?? ''),
    );
    expect(off).toEqual([]);
    const empty = CODE.filter((path) =>
      /catch(\s*\([^)]*\))?\s*\{\s*\}/.test(text.get(path) ?? ''),
    );
    expect(empty).toEqual([]);
  });

  test('no test is left out or alone, and nothing is left for later', () => {
    const alone = new RegExp(
      `\\b(it|test|describe)\\.(${'only'}|${'skip'}|${'todo'})\\b|\\.${'skip'}\\(`,
    );
    expect(TESTS.filter((path) => alone.test(codeOf(path)))).toEqual([]);
    const later = new RegExp(
      `\\b(${['TO', 'DO'].join('')}|${['FIX', 'ME'].join('')}|${'X'.repeat(3)})\\b`,
    );
    expect([...text].flatMap(([path, all]) => (later.test(all) ? [path] : []))).toEqual([]);
  });
});
