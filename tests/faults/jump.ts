/**
 * Loaded before the program: its wall clock is ahead by as many milliseconds as stand in the file that
 * AHEAD_FILE names, looked at four times a second. The monotonic clock stays as it is.
 */
import { readFileSync } from 'node:fs';

const file = process.env.AHEAD_FILE;
const Real = Date;
let aheadMs = 0;

function look(): void {
  if (file === undefined) return;
  const ms = Number(readFileSync(file, 'utf8'));
  if (Number.isFinite(ms)) aheadMs = ms;
}

look();
setInterval(look, 250).unref();

const now = () => Real.now() + aheadMs;
globalThis.Date = new Proxy(Real, {
  construct: (target, args, self) =>
    Reflect.construct(target, args.length === 0 ? [now()] : args, self),
  get: (target, name) => (name === 'now' ? now : Reflect.get(target, name)),
});
