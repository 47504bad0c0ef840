import type { Totals } from './check.ts';

/** The figures of a run, one a line, each by the name of its part; what was broken stands before its count. */
export function reportTotals(part: string, totals: Totals, said: (text: string) => void): void {
  const { posts, lost, notices, undelivered, parked, why, shown, again, twice, folded } = totals;
  const { planned, unasked, mails, mailsAgain, mailsTwice, afterEnd } = totals;
  const some = (lines: readonly string[]) => {
    for (const line of lines.slice(0, 20)) said(`  ${line}`);
  };
  said(`${part}.posts_answered = ${posts}, lost = ${lost}`);
  said(`${part}.times_confirmed = ${planned}, never_asked_about = ${unasked}`);
  some(why);
  said(
    `${part}.notices = ${notices}, undelivered = ${undelivered}, put_off_by_the_platform = ${parked}`,
  );
  some(twice);
  said(
    `${part}.messages_shown = ${shown}, again_after_a_kill = ${again}, shown_twice = ${twice.length} (${folded} repeats folded by their nonce)`,
  );
  some(mailsTwice);
  said(
    `${part}.mails = ${mails}, again_after_a_kill = ${mailsAgain}, twice_without_one = ${mailsTwice.length}`,
  );
  some(afterEnd);
  said(`${part}.told_after_the_end = ${afterEnd.length}`);
}

export const brokenPromises = (t: Totals): number =>
  t.lost + t.undelivered + t.unasked + t.twice.length + t.mailsTwice.length + t.afterEnd.length;
