/** Mail that is refused is said: in the log when it begins, at the departure, and when the watch is shown. */
import { expect, it, onTestFinished } from 'vitest';
import { MailCheck } from '../../src/delivery/mail-check.ts';
import { ManualClock } from '../helpers/clock.ts';
import { openDemo, text, world } from '../helpers/world.ts';

it('is found out at the start and every minute, and said once when it begins and once when it ends', async () => {
  const answers = ['smtp-530', 'smtp-530', undefined, 'mail-tls'];
  const said: string[] = [];
  const clock = new ManualClock();
  const log = {
    error: (fields: object) => void said.push(`error ${JSON.stringify(fields)}`),
    info: () => void said.push('taken again'),
  };
  const check = new MailCheck({ check: async () => answers.shift() }, { clock, log } as never);
  const off = new AbortController();
  const running = check.run(off.signal);
  onTestFinished(async () => {
    off.abort();
    await running;
  });
  const look = async () => {
    while (clock.sleeping === 0) await new Promise((go) => setImmediate(go));
  };
  await look();
  expect([check.trouble, said]).toEqual(['smtp-530', ['error {"why":"smtp-530"}']]);
  clock.advance(60_000);
  await look();
  expect(said).toHaveLength(1);
  clock.advance(60_000);
  await look();
  expect([check.trouble, said[1]]).toEqual([undefined, 'taken again']);
  clock.advance(15 * 60_000);
  await look();
  expect([check.trouble, said[2]]).toEqual(['mail-tls', 'error {"why":"mail-tls"}']);
});

it('is said at the departure, with who can’t be reached by it and what to do', async () => {
  const w = await world({ around: () => ({ withoutMail: () => 'refused' }) });
  onTestFinished(() => w.close());
  await openDemo(w);
  const warning =
    'The mail server takes no mail from us now, so no e-mail reaches Dana: tell whoever runs the bot, or give another way: /roster edit user:.';
  expect(text(await w.say('mara', '/trip depart'))).toContain(`Warning: ${warning}`);
  expect(text(await w.say('mara', '/overdue show'))).toContain(warning);
  // A contact changes nothing on the wall.
  const atHome = text(await w.say('dana', '/overdue show'));
  expect(atHome).toContain('The mail server takes no mail from us now');
  expect(atHome).not.toMatch(/\/(?:roster|trip|checkin) /u);
});
