import { createRequire } from 'node:module';
import type BetterSqlite3 from 'better-sqlite3';

const require = createRequire(import.meta.url);

/** Node-API 10 came with Node 22.14 (nodejs.org/api/n-api.html, version matrix). */
const NAPI_OF_13 = 10;

/**
 * better-sqlite3 in the version for this Node, loaded when it is first asked for.
 *
 * Version 13 is built on Node-API 10, which no Node 20 has. Version 12 must not run on a newer Node:
 * compiled with the headers of Node 24.19 or later it aborts the process (SIGABRT in
 * RemoveEnvironmentCleanupHook) when a statement or a connection is collected.
 */
export function sqlite(): typeof BetterSqlite3 {
  return Number(process.versions.napi) >= NAPI_OF_13
    ? require('better-sqlite3-napi')
    : require('better-sqlite3');
}
