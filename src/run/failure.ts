import { ScriptError } from '../chat/local/script.ts';
import { SettingsError } from '../settings.ts';
import { StoreError } from '../store/port.ts';
import { DataFolderError } from './data-folder.ts';
import { OperatorError } from './operator.ts';

/** Errors whose message is meant for whoever runs the bot; anything else shows where it came from. */
const PLAIN = [SettingsError, StoreError, ScriptError, DataFolderError, OperatorError];
const PLAIN_NAMES = ['DiscordStartError'];

/** What is said on standard error when the bot can't start or has to end: a plain line, or the stack. */
export function failureText(error: unknown): string {
  if (!(error instanceof Error)) return String(error);
  const native = nativeModule(error);
  if (native !== undefined) return native;
  const plain =
    PLAIN.some((kind) => error instanceof kind) ||
    PLAIN_NAMES.includes(error.name) ||
    ('code' in error && typeof error.code === 'string');
  return plain ? error.message : (error.stack ?? error.message);
}

/** The compiled part of better-sqlite3 is missing, or was built for another Node or machine. */
function nativeModule(error: Error): string | undefined {
  const mend = 'run "npm rebuild better-sqlite3" where tagline is installed';
  const code = 'code' in error ? error.code : undefined;
  if (
    error.message.startsWith('Could not locate the bindings file') ||
    (code === 'MODULE_NOT_FOUND' && error.message.includes('better-sqlite3'))
  ) {
    return (
      'The SQLite module is missing: npm left it out, ran no install script for it, or that failed. ' +
      `Install tagline anew with this Node (on Node 20 let npm run install scripts), or ${mend}.`
    );
  }
  if (code === 'ERR_DLOPEN_FAILED') {
    return (
      `The SQLite module was not built for this Node (${process.version}) or machine: ` +
      `install tagline anew, or ${mend}.`
    );
  }
  return undefined;
}
