/** A real small disk, for what happens when it is full. Only root can have one. */
import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import { onTestFinished } from 'vitest';
import { tempFolder } from './help.ts';

/** Whether this user may mount one here. */
export function canMount(): boolean {
  if (process.getuid?.() !== 0) return false;
  try {
    execFileSync('unshare', ['-m', 'mount', '-t', 'tmpfs', 'tmpfs', '/mnt'], { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** A disk of so many megabytes, taken away after the test. */
export function smallDisk(megabytes: number): string {
  const disk = join(tempFolder(), 'disk');
  mkdirSync(disk);
  execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${megabytes}m`, 'tmpfs', disk]);
  onTestFinished(() => void execFileSync('umount', ['--lazy', disk]));
  return disk;
}
