import { shape } from './0001-shape.ts';
import { writing } from './0002-writing.ts';
import { afterId } from './0003-after-id.ts';
import { secret } from './0004-secret.ts';
import type { Migration } from './migration.ts';

/** All steps, oldest first. */
export const MIGRATIONS: readonly Migration[] = [shape, writing, afterId, secret];
