/** What [Move to …] offers can be done: no time is moved past one that comes after it. */
import { describe, expect, it } from 'vitest';
import { text } from '../../helpers/world.ts';
import { must, play } from './play.ts';

describe('a time that looks too early', () => {
  /** Two pitches in six hours: the way down comes long after the call-out time. */
  async function slow() {
    const w = await play('down:20:00 callout:22:00');
    await w.upTo('2031-06-12 12:00');
    await must(w, 'greta', '/pitch done number:1 at:12:00');
    await w.upTo('2031-06-12 12:01');
    return w;
  }

  it('is asked about once, with the later times that it would cross', async () => {
    const w = await slow();
    const asked = w.told.filter((t) => t.text.includes('Everyone down is agreed'));
    expect(asked.map((t) => t.text)).toHaveLength(1);
    expect(asked[0]?.text).toMatch(/The call-out time, now 22:00, moves with it to /);
    const labels = asked.flatMap((t) => t.envelope.message.buttons ?? []).map((b) => b.label);
    expect(labels).toHaveLength(1);
    expect(labels[0]).toMatch(/^Move to .+, call-out .+/);
  });

  it('is moved by one press', async () => {
    const w = await slow();
    const moved = await w.press('mara', 'Move to', { to: 'channel' });
    expect(moved.refused, text(moved)).toBeUndefined();
    const { downMs = 0, calloutMs = 0 } = (await w.trip()).state.watch.plan;
    expect(calloutMs - downMs).toBeGreaterThanOrEqual(2 * 3_600_000);
  });
});

describe('a time typed past a later one', () => {
  it('is refused with a form for both', async () => {
    const w = await play('down:20:00 callout:22:00');
    const reply = await w.say('mara', '/checkin plan down:23:00');
    expect(reply.code).toBe('bad-order');
    const [button] = reply.buttons ?? [];
    expect(button?.label).toBe('Move both');
    expect(button?.ask?.fields.map((f) => f.name)).toEqual(['down', 'callout']);
  });
});
