/**
 * Activity network by the critical path method: forward and backward pass. Plain, for tests: it is
 * held against published networks first, and then the pitch is held against it.
 */
export interface Activity {
  name: string;
  duration: number;
  after: string[];
}

export interface Scheduled {
  start: number;
  finish: number;
  slack: number;
}

export function criticalPath(activities: readonly Activity[]): {
  total: number;
  byName: Map<string, Scheduled>;
  critical: string[];
} {
  const byName = new Map<string, Scheduled>();
  const left = [...activities];
  while (left.length > 0) {
    const index = left.findIndex((a) => a.after.every((name) => byName.has(name)));
    if (index < 0) throw new Error('cycle');
    const [next] = left.splice(index, 1) as [Activity];
    const start = Math.max(0, ...next.after.map((name) => byName.get(name)?.finish as number));
    byName.set(next.name, { start, finish: start + next.duration, slack: 0 });
  }
  const total = Math.max(...[...byName.values()].map((s) => s.finish));
  for (const [name, own] of [...byName].reverse()) {
    const followers = activities.filter((a) => a.after.includes(name));
    const latest = Math.min(
      total,
      ...followers.map((f) => {
        const s = byName.get(f.name) as Scheduled;
        return s.start + s.slack;
      }),
    );
    own.slack = latest - own.finish;
  }
  const critical = activities
    .filter((a) => Math.abs((byName.get(a.name) as Scheduled).slack) < 1e-9)
    .map((a) => a.name);
  return { total, byName, critical };
}

/** PERT's three-point estimate: mean (o + 4m + p)/6 and variance ((p − o)/6)². */
export function pert(o: number, m: number, p: number): { mean: number; variance: number } {
  return { mean: (o + 4 * m + p) / 6, variance: ((p - o) / 6) ** 2 };
}
