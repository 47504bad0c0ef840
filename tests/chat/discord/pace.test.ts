import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Pace } from '../../../src/chat/discord/pace.ts';

const MESSAGES = 'https://discord.com/api/v10/channels/1/messages';

/** A clock on which waiting takes no time; notes until when each has waited. */
function clock() {
  const self = {
    nowMs: 0,
    monoMs: () => self.nowMs,
    sleep: async (ms: number) => void went.push(self.nowMs + ms),
  };
  const went: number[] = [];
  return { self, went };
}

test('Discord, Global Rate Limit: 50 requests at most in any second, and hardly fewer, however they come in', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 1, max: 60 })), {
        minLength: 1,
        maxLength: 12,
      }),
      async (bursts) => {
        const { self, went } = clock();
        const pace = new Pace(self);
        const all: number[] = [];
        for (const [laterMs, many] of bursts) {
          self.nowMs += laterMs;
          for (let i = 0; i < many; i++) {
            const before = went.length;
            await pace.turn(MESSAGES);
            all.push(went.length > before ? (went.at(-1) as number) : self.nowMs);
          }
        }
        for (const from of all) {
          expect(all.filter((ms) => ms >= from && ms < from + 1000).length).toBeLessThanOrEqual(50);
        }
        // In the order in which they came.
        expect(all).toEqual([...all].sort((a, b) => a - b));
        // 46 a second at least once there are more than may go.
        const lastMs = all.at(-1) as number;
        expect(lastMs - self.nowMs).toBeLessThanOrEqual((all.length * 1000) / 46);
      },
    ),
  );
});

test('one alone goes at once, and so does every answer to an interaction', async () => {
  const { self, went } = clock();
  const pace = new Pace(self);
  await pace.turn(MESSAGES);
  for (let i = 0; i < 100; i++) {
    await pace.turn('https://discord.com/api/v10/interactions/1/t/callback');
    await pace.turn('https://discord.com/api/v10/webhooks/1/t/messages/@original');
  }
  expect(went).toEqual([]);
});
