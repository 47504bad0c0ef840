/**
 * The known word nearest to a mistyped one, or undefined when none is near: at most two letters
 * wrong, missing, too many or swapped (Damerau–Levenshtein, optimal string alignment), and fewer
 * than half of them; or a known word it is the beginning of.
 */
export function nearest(typed: string, known: readonly string[]): string | undefined {
  const word = typed.toLowerCase();
  let best: string | undefined;
  let bestDistance = Math.min(2, Math.floor(word.length / 2)) + 1;
  for (const candidate of known) {
    const distance =
      word.length >= 2 && candidate.startsWith(word) ? 0.5 : editDistance(word, candidate);
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** Optimal string alignment distance. */
export function editDistance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    const above = rows[i - 1] ?? [];
    for (let j = 1; j <= b.length; j += 1) {
      const change = a[i - 1] === b[j - 1] ? 0 : 1;
      let least = Math.min(
        (above[j] ?? 0) + 1,
        (row[j - 1] ?? 0) + 1,
        (above[j - 1] ?? 0) + change,
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, (rows[i - 2]?.[j - 2] ?? 0) + 1);
      }
      row.push(least);
    }
    rows.push(row);
  }
  return rows[a.length]?.[b.length] ?? 0;
}
