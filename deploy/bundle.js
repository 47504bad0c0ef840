// Puts a program and the packages it uses together in a few files, so that it starts in half the time, and the licences of
// those packages in one text beside them.
//   node deploy/bundle.js FOLDER             the program, in FOLDER/src
//   node deploy/bundle.js FOLDER ENTRY…      other programs of the sources, in FOLDER under the same paths
// What it prints is one JSON line: the names of the files in FOLDER.
//
// Nothing is shortened: a line of a stack trace can be read in the file that it names, where `//#region` says the source.
import { mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import process from 'node:process';
import { fileURLToPath } from 'node:url';
import { rolldown } from 'rolldown';
import { licencesOf } from './licences.js';

const root = fileURLToPath(new URL('..', import.meta.url));

/** A thread's file is looked for beside the one that begins it, so all of the program lies in one folder. */
const PROGRAM = {
  'src/main': 'src/main.ts',
  'src/forecast-thread': 'src/system/forecasting/forecast-thread.ts',
  'src/reading-thread': 'src/system/reading/reading-thread.ts',
  'src/rewrite-thread': 'src/store/sqlite/rewriting/rewrite-thread.ts',
};

/**
 * What stays a package: compiled for the machine, or read as a file. The second line isn't ours: packages ask for it and do
 * without it.
 */
const APART = [
  ...['better-sqlite3', 'better-sqlite3-napi', '@resvg/resvg-js'],
  ...['zlib-sync', 'bufferutil', 'utf-8-validate', 'canvas', 'pg-native', 'supports-color'],
];

const [folder = '', ...others] = process.argv.slice(2);
const entries = Object.fromEntries(others.map((path) => [path.replace(/\.ts$/, ''), path]));
const made = others.length > 0 ? filesOf(await bundle(entries)) : program(await bundle(PROGRAM));
for (const [name, text] of made) put(join(folder, name), text);
process.stdout.write(`${JSON.stringify(made.map(([name]) => name))}\n`);

/** The pieces that those entries come to, what begins them last: whoever starts meanwhile finds the old program or the new one. */
async function bundle(input) {
  const build = await rolldown({
    cwd: root,
    input,
    platform: 'node',
    external: APART,
    transform: { target: 'node20.19' },
    // Nothing is left out for having no effect: a call whose only effect is that it throws (of a bad address, say) was.
    treeshake: false,
    // What packages do among themselves is theirs; what can't be found is ours.
    onLog(level, log, tell) {
      if (log.code === 'UNRESOLVED_IMPORT') throw new Error(log.message);
      if (!(log.id ?? log.loc?.file ?? '').includes('node_modules')) tell(level, log);
    },
  });
  const { output } = await build.generate({
    format: 'esm',
    entryFileNames: '[name].js',
    chunkFileNames: `${dirname(Object.keys(input)[0])}/[name]-[hash].js`,
    keepNames: true,
    minify: false,
    comments: { legal: true, annotation: false, jsdoc: false },
  });
  await build.close();
  return output.sort((a, b) => Number(a.isEntry) - Number(b.isEntry));
}

function filesOf(pieces) {
  return pieces.map((piece) => [piece.fileName, piece.code]);
}

function program(pieces) {
  const licences = licencesOf(pieces.flatMap((piece) => piece.moduleIds));
  return [['third-party-licences.txt', licences], ...filesOf(pieces)];
}

/** Whole at once, whoever else writes the same or reads it. */
function put(path, text) {
  mkdirSync(dirname(path), { recursive: true });
  const part = `${path}.${process.pid}.part`;
  try {
    writeFileSync(part, text);
    renameSync(part, path);
  } finally {
    rmSync(part, { force: true });
  }
}
