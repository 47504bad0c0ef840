/** A change of a story, and what it gives reason to tell. */
import { deriveWatch } from '../../src/alarm/derive.ts';
import { noticeData } from '../../src/alarm/notice.ts';
import { DAWN_MS, HOUR, type Story, type Told } from './trip.ts';

export const DOWN = DAWN_MS + 16 * HOUR;
export const NOW = DOWN + 3 * HOUR;

export const raised = (phase: string, to: string[], more: object = {}): Told => ({
  kind: 'watch.raised',
  data: { phase, root: 'down', dueMs: DOWN, to, ...more },
  told: DOWN + 2 * HOUR,
});

/** What one more change to the story brings. */
export function change(story: Story, ...told: Told[]) {
  const before = story.events.length === 0 ? undefined : story.state;
  const count = story.events.length;
  const after = story.tell(...told).state;
  const derived = deriveWatch({ before, after, events: story.events.slice(count), nowMs: NOW });
  const notices = derived.notices.map((n) => ({ ...noticeData.parse(n.data), notice: n }));
  return {
    ...derived,
    after,
    notices,
    to: (kind: string) => notices.filter((n) => n.what.kind === kind).map((n) => n.to),
    about: (kind: string) => notices.find((n) => n.what.kind === kind)?.what,
  };
}
