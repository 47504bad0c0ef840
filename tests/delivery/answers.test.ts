/** Where the reader of a message is sent to answer it. */
import { expect, it } from 'vitest';
import { withAnswers } from '../../src/delivery/answers.ts';
import { departed } from '../alarm/trip.ts';

it('who turned push on anew after a no gets their own page, not the question', async () => {
  const device = (to: string) => ({
    kind: 'contact.device',
    data: { person: 'dana', to, endpoint: `https://push.example/${to}`, p256dh: 'k', auth: 'a' },
  });
  const says = (to: string, answer: 'yes' | 'no') => ({
    kind: 'contact.answered',
    data: { person: 'dana', way: 'push', to, answer },
  });
  const { state } = departed().tell(
    device('old'),
    says('old', 'yes'),
    says('old', 'no'),
    device('new'),
    says('new', 'yes'),
  );
  const parts = {
    ownPage: async () => 'https://tagline.example.org/c',
    asked: (_trip: string, { to }: { to: string }) => ({
      url: `https://tagline.example.org/a/${to}`,
      code: 'K7QF-2MXD',
    }),
  };
  const about = { to: 'dana', leaving: false } as const;
  const message = { subject: 'Call now', lines: ['Call 112 now.'] };
  const answered = await withAnswers(parts, state, about, 'push', message);
  expect(answered.asked).toBeUndefined();
  expect(answered.message.links?.[0]?.url).toBe('https://tagline.example.org/c');
});
