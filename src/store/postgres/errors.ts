import { StoreError } from '../port.ts';

type Code = StoreError['code'];

/**
 * By SQLSTATE, or by its class of two letters (postgresql.org/docs/current/errcodes-appendix.html), or by
 * the system's errno name.
 */
const CODES: Readonly<Record<string, Code>> = {
  '53100': 'STORE_FULL',
  '53200': 'STORE_BUSY',
  '53300': 'STORE_BUSY',
  '25006': 'STORE_READ_ONLY',
  '42501': 'STORE_READ_ONLY',
  '40001': 'STORE_BUSY',
  '40P01': 'STORE_BUSY',
  '55P03': 'STORE_BUSY',
  '57014': 'STORE_BUSY',
  '58030': 'STORE_IO',
  XX001: 'STORE_CORRUPT',
  XX002: 'STORE_CORRUPT',
  '3D000': 'STORE_UNREACHABLE',
  '28000': 'STORE_UNREACHABLE',
  '28P01': 'STORE_UNREACHABLE',
  '42P01': 'STORE_NOT_OURS',
  '42883': 'STORE_NOT_OURS',
};

/** The connection broke, or none could be made; another try may find the server again. */
const LOST = new Set([
  ...['57P01', '57P02', '57P03', '57P05'],
  ...['ECONNREFUSED', 'ECONNRESET', 'EPIPE', 'ETIMEDOUT', 'EHOSTUNREACH', 'ENETUNREACH'],
  ...['ENOTFOUND', 'EAI_AGAIN', 'ENOENT'],
]);
/** The driver says these in words only. */
const LOST_WORDS =
  /Connection terminated|timeout exceeded when trying to connect|Query read timeout|Client was closed|not queryable/;

/** Two met; whoever lost may ask again as it stands. */
const MET = new Set(['40001', '40P01', '55P03']);
/** Indexes that refuse what somebody else has just taken; asked again, it is seen. */
const TAKEN = new Set(['trip_one_open_per_channel', 'trip_pkey', 'answer_pkey', 'fact_pkey']);

const TEXTS: Readonly<Partial<Record<Code, string>>> = {
  STORE_FULL:
    'has no room left: its disk is full. What was acknowledged is safe; what was just asked was not ' +
    'stored. Make some room; no restart is needed.',
  STORE_CORRUPT:
    'is damaged. Stop the bot, look at the log of the server, and restore the newest backup.',
  STORE_NOT_OURS:
    'does not hold what tagline made, or no longer. Look whether TAGLINE_DATABASE_URL names the right one.',
  STORE_READ_ONLY:
    'cannot be written: it is a standby, or this user may not. Give the address of the primary, and a ' +
    'user who owns the database.',
  STORE_BUSY:
    'did not come free in time. Nothing was stored. Look at what else it is doing (pg_stat_activity) ' +
    'and at its limit of connections, then try again.',
  STORE_UNREACHABLE:
    'cannot be reached, or did not let us in. See that the server runs, and that TAGLINE_DATABASE_URL ' +
    'has the right address, user and password.',
  STORE_IO:
    'could not be read or written: its disk reported an error. Look at the log of the server and its ' +
    'disk before going on, and keep the newest backup at hand.',
};

/** An outside error as one of ours where it has a way out; any other comes back unchanged. */
export function asStoreError(error: unknown, name: string): unknown {
  if (error instanceof StoreError || !(error instanceof Error)) return error;
  const state = stateOf(error);
  const code = isLost(error)
    ? 'STORE_UNREACHABLE'
    : (CODES[state] ?? (state.startsWith('08') ? 'STORE_UNREACHABLE' : undefined));
  if (code === undefined) return error;
  return new StoreError(code, `${name} ${TEXTS[code]}`, { cause: error });
}

/** The connection is gone, or there was none: what was asked may have been done or not. */
export function isLost(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const state = stateOf(error);
  return LOST.has(state) || /^08...$/.test(state) || LOST_WORDS.test(error.message);
}

/** Nothing was done, and asking again may do it. */
export function isRace(error: unknown): boolean {
  if (!(error instanceof Error)) return false;
  const state = stateOf(error);
  const taken = 'constraint' in error && TAKEN.has(String(error.constraint));
  return MET.has(state) || (state === '23505' && taken);
}

export function stateOf(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  return typeof code === 'string' ? code : '';
}
