// Compiles the sources to dist, for `npm run build`. For `npm pack`: --pack builds anew, so that nothing
// of a renamed file stays in the package, and lays the lock file beside it under the name that npm packs
// (docs.npmjs.com, npm-shrinkwrap.json), so that `npm ci` installs what was tested; --packed takes that away.
// What stands in the way is said in one line.
import { spawnSync } from 'node:child_process';
import { accessSync, constants, copyFileSync, existsSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('..', import.meta.url));
const dist = join(root, 'dist');
const tsc = join(root, 'node_modules/typescript/bin/tsc');
const shrinkwrap = join(root, 'npm-shrinkwrap.json');

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
  if (fresh && writable()) rmSync(dist, { recursive: true, force: true });
  // Not looked for beforehand: a build that is up to date writes nothing, and starts from any disk.
  const run = spawnSync(process.execPath, [tsc, '-p', 'tsconfig.build.json'], {
    cwd: root,
    encoding: 'utf8',
  });
  if (run.status === 0) return undefined;
  if (writable()) return `${run.stdout}${run.stderr}`;
  return (
    `The build can't be written to ${dist}. Run "npm run build" once as the user who owns this ` +
    'checkout; afterwards "npm start" needs no right to write here.\n'
  );
}

/** Whether files can be made in dist, or dist itself where it isn't there yet. */
function writable() {
  try {
    const there = [dist, join(dist, 'src'), join(dist, 'commands')].filter(existsSync);
    return (there.length > 0 ? there : [root]).every((folder) => {
      accessSync(folder, constants.W_OK | constants.X_OK);
      return statSync(folder).isDirectory();
    });
  } catch {
    return false;
  }
}
