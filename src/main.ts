#!/usr/bin/env node
import { readFileSync } from 'node:fs';
import { readArguments, USAGE } from './run/arguments.ts';

/** The package's own folder, seen from `dist/src/main.js`. */
const PACKAGE = new URL('../../', import.meta.url);

async function main(): Promise<void> {
  const args = readArguments(process.argv.slice(2));
  const write = (text: string) => void process.stdout.write(text);
  if (args.help) return write(USAGE);
  if (args.version) return write(`${version()}\n`);
  // Loaded only now: who asks for help or the version waits for nothing else.
  const [{ readSettings }, { start }] = await Promise.all([
    import('./settings.ts'),
    import('./run/start.ts'),
  ]);
  const settings = readSettings(process.env);
  await start({ args, settings, version: version(), folder: PACKAGE, write });
}

function version(): string {
  const text = readFileSync(new URL('package.json', PACKAGE), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}

main().catch(async (error: unknown) => {
  const { failureText } = await import('./run/failure.ts');
  process.stderr.write(`${failureText(error)}\n`);
  process.exitCode = 1;
});
