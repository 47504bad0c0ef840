import type { Store } from '../store/port.ts';

const OWNERS = 'watch.owner';

export interface ProcessPort {
  host: string;
  pid: number;
  startedMs: number;
  /** Whether a process of this number runs on this host. */
  alive(pid: number): boolean;
}

/** This process's name among those on one database. */
export function ownerName({ host, pid, startedMs }: ProcessPort): string {
  return `${host}/${pid}/${Math.round(startedMs)}`;
}

/**
 * Takes back what a process that died on this machine had on its way, so that a restart need not wait
 * for its leases to run out. One that may be alive still, or ran elsewhere, keeps its own.
 */
export async function takeOver(
  store: Pick<Store, 'getFact' | 'setFact' | 'releaseLeases'>,
  self: ProcessPort,
): Promise<number> {
  const before = await store.getFact(OWNERS);
  await store.setFact(OWNERS, ownerName(self));
  const [host, pid] = (before ?? '').split('/');
  if (before === undefined || host !== self.host || before === ownerName(self)) return 0;
  // Our own number was its: then it is gone, as in a container, where every process is number 1.
  if (Number(pid) !== self.pid && self.alive(Number(pid))) return 0;
  return store.releaseLeases(before);
}
