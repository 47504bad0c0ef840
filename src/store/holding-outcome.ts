import type { Delivery, NoticeRow } from './port.ts';

/** A notice with what came of it since, where that could not be written. */
export function withOutcome(row: NoticeRow, delivery: Delivery | undefined): NoticeRow {
  if (delivery === undefined) return row;
  const { outcome, atMs } = delivery;
  switch (outcome.status) {
    case 'untried':
      return row;
    case 'sent':
      return { ...row, status: 'sent', sentAtMs: Math.round(atMs) };
    case 'pending': {
      const { nextTryAtMs, error: lastError, data = row.data } = outcome;
      return { ...row, nextTryAtMs, lastError, data };
    }
    default:
      return { ...row, status: outcome.status, lastError: outcome.error };
  }
}
