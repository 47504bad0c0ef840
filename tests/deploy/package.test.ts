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
import { tmpdir } from 'node:os';
import { delimiter, dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest';
import { trip } from '../forecast/fixture.ts';
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

function run(command: string, args: readonly string[], cwd: string, env = {}) {
  const path = [dirname(process.execPath), join(modules, '.bin'), process.env.PATH];
  const { status, stdout, stderr } = spawnSync(command, args, {
    cwd,
    encoding: 'utf8',
    input: '',
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
    expect(readdirSync(join(installed, 'dist')).sort()).toEqual(['commands', 'src']);
    for (const name of ['dist/src/main.js', 'deploy/demo/harrow.csv', 'deploy/CHANGES.md']) {
      expect(names).toContain(name);
    }
    expect(readFileSync(join(installed, 'dist/src/main.js'), 'utf8')).toMatch(/^#!.* node\n/);
    expect(names.filter((n) => /\.tsx?$|\.test\.|tests|tsbuildinfo|config/.test(n))).toEqual([]);
  });

  test('names every package that its program imports, and no other', () => {
    const code = readdirSync(join(installed, 'dist'), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.js'))
      .map((name) => readFileSync(join(installed, 'dist', name), 'utf8'));
    const imported = new Set<string>();
    for (const text of code) {
      const found = text.matchAll(
        /(?:from|import\(|require\(|import|PACKAGE =)\s*'((?:@[\w-]+\/)?[a-z][\w.-]*)/g,
      );
      for (const [, name] of found) if (name !== undefined) imported.add(name);
    }
    imported.delete('node');
    const named = { ...manifest.dependencies, ...manifest.optionalDependencies };
    expect([...imported].sort()).toEqual(Object.keys(named).sort());
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

  test('forecasts are made in a thread of their own, and not here', () => {
    const input = JSON.stringify(trip({ ascents: 100 }));
    const apart = pathToFileURL(join(installed, 'dist/src/system/forecasting/apart.js'));
    const code = `
      const { keptForecasts } = await import('${apart}');
      const kept = keptForecasts({ warn: (...said) => console.error(...said) });
      const here = () => { throw new Error('made here'); };
      const { topout } = await kept.of({ asked: 'quick', input: ${input} }, here);
      process.stdout.write(String(topout.q10 < topout.q90));`;
    const { status, out, err } = run(
      process.execPath,
      ['--input-type=module', '-e', code],
      empty('thread'),
    );
    expect({ status, out, err }).toEqual({ status: 0, out: 'true', err: '' });
  });

  test('the local channel opens, and keeps its database there', () => {
    const here = empty('channel');
    const { status, err } = run('tagline', [], here);
    expect({ status, err }).toEqual({ status: 0, err: '' });
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
    copyFileSync(join(ROOT, 'deploy/build.js'), join(here, 'deploy/build.js'));
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
