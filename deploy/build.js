// Builds the program in dist, for `npm run build`: the compiler checks the sources, bundle.js puts them together. Where
// neither they nor what they are built with have changed nothing is done, so a build starts from any disk.
// For `npm pack`: --pack builds anew, so that nothing of a renamed file stays in the package, and lays the lock file
// beside it under the name that npm packs (docs.npmjs.com, npm-shrinkwrap.json), so that `npm ci` installs what was
// tested; --packed takes that away. What stands in the way is said in one line.
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  accessSync,
  constants,
  copyFileSync,
  existsSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const dist = join(root, 'dist');
const tsc = join(root, 'node_modules/typescript/bin/tsc');
const shrinkwrap = join(root, 'npm-shrinkwrap.json');
/** What the build in dist was made of, and its files. */
const made = join(dist, '.made.json');

const FOLDERS = ['src', 'commands'];
const FILES = [
  ...['package.json', 'package-lock.json', 'tsconfig.json', 'tsconfig.build.json'],
  ...['deploy/build.js', 'deploy/bundle.js', 'deploy/licences.js'],
];

const how = process.argv[2];
if (how === '--packed') rmSync(shrinkwrap, { force: true });
else {
  const failure = build(how === '--pack');
  if (failure !== undefined) {
    process.stderr.write(failure);
    process.exitCode = 1;
  } else if (how === '--pack') copyFileSync(join(root, 'package-lock.json'), shrinkwrap);
}

/** Builds, and gives back what there is to say when that failed. */
function build(fresh) {
  if (!existsSync(tsc)) {
    // A package, or a checkout of `npm ci --omit=dev`: it runs what was built before.
    if (!fresh && existsSync(join(dist, 'src/main.js'))) return undefined;
    return 'There is no build in dist and no compiler to make one. Run "npm ci" first.\n';
  }
  const of = sources();
  const before = lastBuild();
  if (!fresh && before.of === of && before.files.every((name) => existsSync(join(dist, name)))) {
    return undefined;
  }
  if (!writable()) {
    return (
      `The build can't be written to ${dist}. Run "npm run build" once as the user who owns this ` +
      'checkout; afterwards "npm start" needs no right to write here.\n'
    );
  }
  if (fresh) rmSync(dist, { recursive: true, force: true });
  const checked = run(tsc, '-p', 'tsconfig.build.json');
  if (checked.status !== 0) return `${checked.stdout}${checked.stderr}`;
  const bundled = run(join(root, 'deploy/bundle.js'), dist);
  if (bundled.status !== 0) return bundled.stderr;
  const files = JSON.parse(bundled.stdout);
  writeFileSync(made, JSON.stringify({ of, files }));
  // A bot that is running may still load a file of the build before; what is older goes.
  const kept = new Set([...files, ...before.files]);
  for (const name of readdirSync(join(dist, 'src'))) {
    if (!kept.has(`src/${name}`)) rmSync(join(dist, 'src', name), { recursive: true });
  }
  return undefined;
}

function run(script, ...args) {
  return spawnSync(process.execPath, [script, ...args], { cwd: root, encoding: 'utf8' });
}

/** Changes when anything does that a build is made of. */
function sources() {
  const hash = createHash('sha256');
  const names = FOLDERS.flatMap((folder) => {
    const found = existsSync(join(root, folder))
      ? readdirSync(join(root, folder), { recursive: true })
      : [];
    return found.filter((name) => name.endsWith('.ts')).map((name) => join(folder, name));
  });
  for (const name of [...names.sort(), ...FILES]) {
    const path = join(root, name);
    hash
      .update(`${name}\0`)
      .update(existsSync(path) ? readFileSync(path) : '')
      .update('\0');
  }
  return hash.digest('hex');
}

function lastBuild() {
  try {
    return JSON.parse(readFileSync(made, 'utf8'));
  } catch {
    // There is none, or it was cut short.
    return { of: '', files: [] };
  }
}

/** Whether files can be made in dist, or dist itself where it isn't there yet. */
function writable() {
  try {
    const there = [dist, join(dist, 'src')].filter(existsSync);
    return (there.length > 0 ? there : [root]).every((folder) => {
      accessSync(folder, constants.W_OK | constants.X_OK);
      return statSync(folder).isDirectory();
    });
  } catch {
    return false;
  }
}
