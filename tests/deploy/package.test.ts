import { spawnSync } from 'node:child_process';
import {
  chmodSync,
  copyFileSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { isBuiltin } from 'node:module';
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { compiledRoot } from '../helpers/compiled.ts';

// Processes, on a machine that may be busy.
vi.setConfig({ testTimeout: 120_000 });

/** The tarball of `npm pack`, installed as npm lays it out, but without the network. */
const ROOT = join(import.meta.dirname, '../..');
const folder = mkdtempSync(join(tmpdir(), 'tagline-package-'));
const modules = join(folder, 'home/node_modules');
const installed = join(modules, 'tagline');

interface Manifest {
  version: string;
  bin: Record<string, string>;
  dependencies: Record<string, string>;
  optionalDependencies: Record<string, string>;
  scripts: Record<string, string>;
}
interface Lock {
  packages: Record<string, { version?: string; dev?: boolean }>;
}
const json = <T>(path: string) => JSON.parse(readFileSync(path, 'utf8')) as T;
const manifest = json<Manifest>(join(ROOT, 'package.json'));

function run(
  command: string,
  args: readonly string[],
  cwd: string,
  env = {},
  lines: readonly string[] = [],
) {
  const path = [dirname(process.execPath), join(modules, '.bin'), process.env.PATH];
  const { status, stdout, stderr } = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    input: lines.join('\n'),
    env: { PATH: path.join(delimiter), HOME: folder, USER: 'mara', ...env },
  });
  return { status, out: stdout, err: stderr };
}

/** What `npm pack` would find after its build, where other tests can't be disturbed by it. */
async function pack(): Promise<string> {
  const stage = join(folder, 'stage');
  cpSync(ROOT, stage, {
    recursive: true,
    filter: (path) => !/[/\\](node_modules|dist|\.git|\.bench|data)$/.test(path),
  });
  cpSync(join(await compiledRoot(), 'dist'), join(stage, 'dist'), { recursive: true });
  copyFileSync(join(stage, 'package-lock.json'), join(stage, 'npm-shrinkwrap.json'));
  const { status, err } = run('npm', ['pack', '--ignore-scripts', '--offline'], stage);
  if (status !== 0) throw new Error(err);
  return join(stage, `tagline-${manifest.version}.tgz`);
}

/** Links what npm installs for those who use the package: no package that only developers need. */
function install(tarball: string): void {
  mkdirSync(installed, { recursive: true });
  const { status, err } = run(
    'tar',
    ['-xzf', tarball, '-C', installed, '--strip-components=1'],
    folder,
  );
  if (status !== 0) throw new Error(err);
  const { packages } = json<Lock>(join(ROOT, 'package-lock.json'));
  for (const [path, { dev }] of Object.entries(packages)) {
    const name = /^node_modules\/((?:@[^/]+\/)?[^/]+)$/.exec(path)?.[1];
    const from = join(ROOT, path);
    // npm leaves out what isn't for this Node.
    if (name === undefined || dev || !existsSync(from)) continue;
    mkdirSync(dirname(join(modules, name)), { recursive: true });
    symlinkSync(from, join(modules, name));
  }
  for (const [name, path] of Object.entries(manifest.bin)) {
    mkdirSync(join(modules, '.bin'), { recursive: true });
    // npm makes what a bin names executable.
    chmodSync(join(installed, path), 0o755);
    symlinkSync(join(installed, path), join(modules, '.bin', name));
  }
}

beforeAll(async () => install(await pack()), 120_000);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function empty(name: string): string {
  const path = join(folder, name);
  mkdirSync(path);
  return path;
}

describe('the tarball', () => {
  test('holds the program and what goes with it, and nothing of the workshop', () => {
    const names = readdirSync(installed, { recursive: true, encoding: 'utf8' }).sort();
    expect(readdirSync(installed).sort()).toEqual(
      ['LICENSE', 'README.md', 'deploy', 'dist', 'npm-shrinkwrap.json', 'package.json'].sort(),
    );
    expect(readdirSync(join(installed, 'dist')).sort()).toEqual([
      'src',
      'third-party-licences.txt',
    ]);
    for (const name of ['dist/src/main.js', 'deploy/demo/harrow.csv', 'deploy/CHANGES.md']) {
      expect(names).toContain(name);
    }
    expect(readFileSync(join(installed, 'dist/src/main.js'), 'utf8')).toMatch(/^#!.* node\n/);
    expect(names.filter((n) => /\.tsx?$|\.test\.|tests|tsbuildinfo|config/.test(n))).toEqual([]);
  });

  /** The files of the program, whose parts stand under the name of the file each was made of. */
  const code = () =>
    readdirSync(join(installed, 'dist/src')).map((name) =>
      readFileSync(join(installed, 'dist/src', name), 'utf8'),
    );

  test('names every package that its program asks for, and no other', () => {
    // What packages ask for and do without, each inside a `try`.
    const without =
      /^(zlib-sync|bufferutil|utf-8-validate|canvas|pg-native|supports-color)$|^node:/;
    const asked = code().flatMap((text) =>
      [
        ...text.matchAll(/^import (?:.* from )?"((?:@[\w-]+\/)?[a-z][\w.:-]*)/gm),
        ...text.matchAll(
          /(?:\brequire|__require(?:\$\d)?|import)\("((?:@[\w-]+\/)?[a-z][\w.:-]*)"\)/g,
        ),
        ...text.matchAll(/PACKAGE = "((?:@[\w-]+\/)?[a-z][\w.-]*)"/g),
      ].map(([, name = '']) => name),
    );
    const imported = new Set(asked.filter((name) => !without.test(name) && !isBuiltin(name)));
    const named = { ...manifest.dependencies, ...manifest.optionalDependencies };
    expect([...imported].sort()).toEqual(Object.keys(named).sort());
  });

  test('brings the licence of every package that is inside', () => {
    const inside = code().flatMap((text) =>
      [...text.matchAll(/^\s*\/\/ (?:.*\/)?node_modules\/((?:@[\w-]+\/)?[\w.-]+)\//gm)].map(
        ([, name = '']) => name,
      ),
    );
    const licences = readFileSync(join(installed, 'dist/third-party-licences.txt'), 'utf8');
    const told = new Set(
      licences
        .split(/^-{80}$/m)
        .map((text) => /^(\S+) \d[\w.-]*\n[\w() .+-]+\n/.exec(text.trim())?.[1]),
    );
    expect(inside).toContain('discord.js');
    expect([...new Set(inside)].filter((name) => !told.has(name))).toEqual([]);
  });

  test('is built anew before it is packed', () => {
    expect(manifest.scripts.prepack).toBe('node deploy/build.js --pack');
    expect(manifest.scripts.postpack).toBe('node deploy/build.js --packed');
  });
});

describe('run from an empty folder', () => {
  test('--version says the release, and nothing is left behind', () => {
    const here = empty('version');
    expect(run('tagline', ['--version'], here)).toEqual({
      status: 0,
      out: `${manifest.version}\n`,
      err: '',
    });
    expect(readdirSync(here)).toEqual([]);
  });

  test('a script is played', () => {
    const here = empty('script');
    writeFileSync(
      join(here, 'climb.txt'),
      [
        '2031-06-12 06:10  mara   /trip open name:"Harrow Tower" zone:Europe/Oslo',
        '2031-06-12 06:12  mara   /topo edit number:1 length:38 free:6a',
        '2031-06-12 06:13  mara   /roster add name:Mara free:6c',
        '2031-06-12 07:00  mara   /pitch done number:1 at:-10m\n',
      ].join('\n'),
    );
    const { status, out, err } = run('tagline', ['--script', 'climb.txt'], here);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toContain('Pitch 1 done at 06:50');
  });

  test('the local channel opens, keeps its database there, and begins its threads', () => {
    const here = empty('channel');
    writeFileSync(join(here, 'topo.csv'), 'pitch,length_m,free\n1,38,6a\n2,30,6b\n');
    const { status, out, err } = run('tagline', [], here, {}, [
      '/trip open name:"Harrow Tower" zone:Europe/Oslo',
      '/topo load file:topo.csv',
      '/roster add name:Mara free:6c',
      '/topout\n',
    ]);
    // A thread that can't be begun is a warning there, or a fault in the answer.
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toMatch(/2 pitches/);
    expect(out).toMatch(/A forecast, not a decision/);
    expect(readdirSync(join(here, 'data'))).toContain('tagline.db');
  });

  // Modes don't hold root back; a file in the way does.
  test('a data folder that can’t be made is refused in one line with the way out', () => {
    const here = empty('refused');
    writeFileSync(join(here, 'file'), '');
    const { status, out, err } = run('tagline', [], here, { TAGLINE_DATA: 'file/data' });
    expect({ status, out }).toEqual({ status: 1, out: '' });
    expect(err).toContain(`The data folder ${join(here, 'file/data')} can't be made`);
    expect(err).toContain('Set TAGLINE_DATA to a folder that you may write');
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });

  test('npm start needs no compiler where there is a build', () => {
    const { status, out, err } = run('npm', ['start', '--silent', '--', '--version'], installed);
    expect({ status, out, err }).toEqual({ status: 0, out: `${manifest.version}\n`, err: '' });
  });
});

describe('a build that can’t be written', () => {
  function checkout(name: string): string {
    const here = empty(name);
    mkdirSync(join(here, 'deploy'));
    for (const file of ['build.js', 'bundle.js', 'licences.js']) {
      copyFileSync(join(ROOT, 'deploy', file), join(here, 'deploy', file));
    }
    for (const file of ['package.json', 'tsconfig.json', 'tsconfig.build.json']) {
      copyFileSync(join(ROOT, file), join(here, file));
    }
    mkdirSync(join(here, 'src'));
    writeFileSync(join(here, 'src/main.ts'), 'export const built = true;\n');
    return here;
  }
  const build = (here: string) => run(process.execPath, ['deploy/build.js'], here);

  test('is said in one line with the way out', () => {
    const here = checkout('unwritable');
    symlinkSync(join(ROOT, 'node_modules'), join(here, 'node_modules'));
    writeFileSync(join(here, 'dist'), '');
    const { status, out, err } = build(here);
    expect({ status, out }).toEqual({ status: 1, out: '' });
    expect(err).toContain(`The build can't be written to ${join(here, 'dist')}.`);
    expect(err.trimEnd().split('\n')).toHaveLength(1);
  });

  test('an error in the sources is told by the compiler itself', () => {
    const here = checkout('wrong');
    symlinkSync(join(ROOT, 'node_modules'), join(here, 'node_modules'));
    writeFileSync(join(here, 'src/main.ts'), 'export const built: string = 1;\n');
    expect(build(here)).toMatchObject({ status: 1, err: expect.stringContaining('TS2322') });
  });

  test('without a compiler and without a build', () => {
    const { status, err } = build(checkout('bare'));
    expect(status).toBe(1);
    expect(err).toBe(
      'There is no build in dist and no compiler to make one. Run "npm ci" first.\n',
    );
  });
});
