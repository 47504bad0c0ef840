import type { z } from 'zod';

/** What is wrong with a value, in a few words that follow its name. */
export function issueWords(issue: z.core.$ZodIssue | undefined): string {
  if (issue === undefined) return 'not readable';
  if (issue.code === 'invalid_type' && issue.message.endsWith('received undefined'))
    return 'is missing';
  return issue.message;
}
