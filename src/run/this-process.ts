import { hostname } from 'node:os';
import type { ProcessPort } from '../delivery/owner.ts';

/** This process, and what can be known of others on this machine. */
export function thisProcess(startedMs: number): ProcessPort {
  return {
    host: hostname(),
    pid: process.pid,
    startedMs,
    alive(pid) {
      try {
        process.kill(pid, 0);
        return true;
      } catch (error) {
        // Not ours to signal, but there.
        return (error as NodeJS.ErrnoException).code === 'EPERM';
      }
    },
  };
}
