/**
 * The program as `npm run build` makes it, for tests that need a process of its own to kill. Built once for a state of the
 * sources and kept under node_modules/.cache, so that test files and runs share it.
 */
import { execFile } from 'node:child_process';
import { createHash, randomUUID } from 'node:crypto';
import { existsSync } from 'node:fs';
import { mkdir, readdir, rename, rm, stat, symlink } from 'node:fs/promises';
import { join } from 'node:path';
import { promisify } from 'node:util';

const REPOSITORY = join(import.meta.dirname, '../..');
const CACHE = join(REPOSITORY, 'node_modules/.cache/tagline-compiled');
const SOURCES = ['src', 'commands', 'tests', 'deploy'];
/** Programs of the tests themselves, which begin processes of their own, too. */
const PROGRAMS = ['tests/discord/process.ts', 'tests/store/writer.ts'];
/** Older builds are removed, but not the latest few: another run may be using one. */
const KEPT = 6;

/**
 * Folder that looks like the repository, with the program in `dist` as `npm run build` puts it there (`dist/src/main.js`),
 * and the tests' own programs beside it (`dist/tests/…`).
 */
export async function compiledRoot(): Promise<string> {
  const root = join(CACHE, await fingerprint());
  if (!existsSync(root)) await build(root);
  return root;
}

/** Path of the built `src/main.js`, to be run by `process.execPath`. */
export async function compiledMain(): Promise<string> {
  return join(await compiledRoot(), 'dist/src/main.js');
}

/** Changes when a source changes: names, sizes and times, which is quicker than reading them all. */
async function fingerprint(): Promise<string> {
  const hash = createHash('sha256');
  const note = async (name: string) => {
    const { size, mtimeMs } = await stat(join(REPOSITORY, name));
    hash.update(`${name} ${size} ${mtimeMs}\n`);
  };
  for (const folder of SOURCES) {
    const names = await readdir(join(REPOSITORY, folder), { recursive: true });
    for (const name of names.filter((n) => /\.[jt]s$/.test(n)).sort())
      await note(join(folder, name));
  }
  await note('package-lock.json');
  return hash.digest('hex').slice(0, 16);
}

async function build(root: string): Promise<void> {
  const part = `${root}.${randomUUID()}.part`;
  await mkdir(part, { recursive: true });
  // Everything else of the repository in its place, for code that looks for files beside `dist`.
  for (const name of await readdir(REPOSITORY)) {
    if (['dist', 'node_modules', '.git', '.bench'].includes(name)) continue;
    await symlink(join(REPOSITORY, name), join(part, name));
  }
  // Types are checked elsewhere; a test that runs a process shouldn't fail over another file's.
  const bundle = join(REPOSITORY, 'deploy/bundle.js');
  for (const entries of [[], PROGRAMS])
    await promisify(execFile)(process.execPath, [bundle, join(part, 'dist'), ...entries]);
  // Renamed when whole: two test files may have built at once, and either build will do.
  await rename(part, root).catch(async (error: unknown) => {
    await rm(part, { recursive: true, force: true });
    if (!existsSync(root)) throw error;
  });
  await removeOld();
}

async function removeOld(): Promise<void> {
  const found = await Promise.all(
    (await readdir(CACHE)).map(async (name) => ({
      path: join(CACHE, name),
      ms: (await stat(join(CACHE, name)).catch(() => undefined))?.mtimeMs ?? 0,
    })),
  );
  found.sort((a, b) => b.ms - a.ms);
  for (const { path } of found.slice(KEPT)) await rm(path, { recursive: true, force: true });
}
