import type { z } from 'zod';

/** A refusal in Discord's own form; thrown by handlers, sent by the server. */
export class ApiError extends Error {
  readonly status: number;
  readonly code: number;
  readonly errors: object | undefined;

  constructor(status: number, code: number, message: string, errors?: object) {
    super(message);
    this.status = status;
    this.code = code;
    this.errors = errors;
  }

  body(): object {
    return {
      message: this.message,
      code: this.code,
      ...(this.errors === undefined ? {} : { errors: this.errors }),
    };
  }
}

/** topics/opcodes-and-status-codes.mdx, JSON Error Codes; the HTTP statuses are from memory. */
const KNOWN: Readonly<Record<number, readonly [status: number, message: string]>> = {
  10002: [404, 'Unknown Application'],
  10003: [404, 'Unknown Channel'],
  10004: [404, 'Unknown Guild'],
  10007: [404, 'Unknown Member'],
  10008: [404, 'Unknown Message'],
  10013: [404, 'Unknown User'],
  10015: [404, 'Unknown Webhook'],
  10062: [404, 'Unknown interaction'],
  10063: [404, 'Unknown application command'],
  30003: [400, 'Maximum number of pins reached for the channel (250)'],
  30015: [400, 'Maximum number of attachments in a message reached (10)'],
  30032: [400, 'Maximum number of application commands reached (100)'],
  30034: [400, 'Max number of daily application command creates has been reached (200)'],
  40005: [413, 'Request entity too large'],
  40060: [400, 'Interaction has already been acknowledged.'],
  40333: [403, 'internal network error'],
  50001: [403, 'Missing Access'],
  50005: [403, 'Cannot edit a message authored by another user'],
  50006: [400, 'Cannot send an empty message'],
  50007: [403, 'Cannot send messages to this user'],
  50013: [403, 'Missing Permissions'],
  50027: [401, 'Invalid Webhook Token'],
  50033: [400, 'Invalid Recipient(s)'],
  50035: [400, 'Invalid Form Body'],
  50041: [400, 'Invalid API version'],
  50083: [400, 'Thread is archived'],
  50109: [400, 'The request body contains invalid JSON.'],
  50278: [403, 'Cannot send messages to this user due to having no mutual guilds'],
  160005: [400, 'Thread is locked'],
};

/** The refusal with this code; a code that isn't in the list is a mistake in the stand-in. */
export function refusal(code: number): ApiError {
  const [status, message] = KNOWN[code] ?? [];
  if (status === undefined || message === undefined) throw new Error(`no such code: ${code}`);
  return new ApiError(status, code, message);
}

/** 50035 with one complaint about one field (`data.components.0.label`). */
export function formError(path: string, code: string, message: string): ApiError {
  return bodyError([{ path: path === '' ? [] : path.split('.'), code, message }]);
}

interface Complaint {
  path: readonly PropertyKey[];
  code: string;
  message: string;
}

/** reference.mdx, Error Messages: complaints sit under `_errors` at the place they are about. */
function bodyError(complaints: readonly Complaint[]): ApiError {
  const errors: Record<string, unknown> = {};
  for (const { path, code, message } of complaints) {
    let node = errors;
    for (const key of path.map(String)) {
      node[key] ??= {};
      node = node[key] as Record<string, unknown>;
    }
    node._errors = [...((node._errors as object[] | undefined) ?? []), { code, message }];
  }
  return new ApiError(400, 50035, 'Invalid Form Body', errors);
}

/** What zod found, said the way Discord says it. */
export function zodError(error: z.ZodError): ApiError {
  return bodyError(error.issues.flatMap(complaintsOf));
}

function complaintsOf(issue: z.core.$ZodIssue): Complaint[] {
  const { path } = issue;
  if (issue.code === 'custom') {
    return [
      { path, code: String(issue.params?.code ?? 'BASE_TYPE_INVALID'), message: issue.message },
    ];
  }
  if (issue.code === 'unrecognized_keys') {
    // Discord's own word for this is not published; the reference says only which fields there are.
    return issue.keys.map((key) => ({
      path: [...path, key],
      code: 'UNKNOWN_FIELD',
      message: 'This field is not in the reference for this request.',
    }));
  }
  if (issue.code === 'invalid_union') {
    const forms = issue.errors.map((issues) =>
      issues.flatMap((i) => complaintsOf({ ...i, path: [...path, ...i.path] })),
    );
    const inner = forms.sort((a, b) => strangeness(a) - strangeness(b))[0] ?? [];
    return inner.length > 0
      ? inner
      : [{ path, code: 'UNION_TYPE_CHOICES', message: issue.message }];
  }
  return [{ path, code: codeOf(issue), message: issue.message }];
}

/** Of several forms the meant one is that whose `type` fits, then that with the fewest complaints. */
function strangeness(complaints: readonly Complaint[]): number {
  const typed = complaints.filter((c) => c.path.at(-1) === 'type').length;
  return 1000 * typed + complaints.length;
}

/** The words are from memory of Discord's answers; nobody should depend on them. */
function codeOf(issue: z.core.$ZodIssue): string {
  if (issue.code === 'too_big') return 'BASE_TYPE_MAX_LENGTH';
  if (issue.code === 'too_small') return 'BASE_TYPE_MIN_LENGTH';
  if (issue.code === 'invalid_type' && issue.input === undefined) return 'BASE_TYPE_REQUIRED';
  if (issue.code === 'invalid_value') return 'BASE_TYPE_CHOICES';
  return 'BASE_TYPE_INVALID';
}
