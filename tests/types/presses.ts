/**
 * What must not compile about buttons: a press is a command with its own options. Each case stands
 * beside its twin that must compile; `npm run types` holds both.
 */
import type { Press } from '../../src/say/press.ts';
import type { Button } from '../../src/say/reply.ts';

export const press: Press = { path: 'pitch done', options: { number: 5 } };
// @ts-expect-error a path that is missing
export const nowhere: Press = { path: 'pitch doen', options: { number: 5 } };
// @ts-expect-error the command alone, where it has subcommands
export const half: Press = { path: 'pitch', options: {} };
// @ts-expect-error an option that the command hasn't got
export const strange: Press = { path: 'pitch done', options: { pitch: 5 } };
// @ts-expect-error an option of another command
export const other: Press = { path: 'overdue show', options: { number: 5 } };
// @ts-expect-error a value of the wrong type
export const typed: Press = { path: 'pitch done', options: { number: '5' } };

export const chosen: Press = { path: 'overdue resolve', options: { how: 'fine' } };
// @ts-expect-error a value outside the choices
export const outside: Press = { path: 'overdue resolve', options: { how: 'perhaps' } };
// @ts-expect-error what a button can't carry: an account
export const carried: Press = { path: 'roster add', options: { user: 'u' } };

const label = 'Done at…';
export const button: Button = { label, press };
const field = { label: 'When was it?' };
export const asking: Button = {
  label,
  press: { path: 'pitch done', options: { number: 5 } },
  ask: { title: label, fields: [{ ...field, name: 'at' }] },
};
// @ts-expect-error a form that asks for an option that the pressed command hasn't got
export const askingElse: Button = {
  label,
  press: { path: 'pitch done', options: { number: 5 } },
  ask: { title: label, fields: [{ ...field, name: 'until' }] },
};
