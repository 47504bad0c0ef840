import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { commands } from '../../../commands/index.ts';
import { decodePress, type KeptPress, keptFactOf } from '../../../src/chat/discord/custom-id.ts';
import { definitionProblems } from '../../../src/chat/discord/definition-limits.ts';
import { commandsJson } from '../../../src/chat/discord/definitions.ts';
import { renderReply } from '../../../src/chat/discord/render.ts';
import type { Entry } from '../../../src/chat/local/channel.ts';
import { runScript } from '../../../src/run/script.ts';

const demo = fileURLToPath(new URL('../../../deploy/demo/harrow.txt', import.meta.url));
const entries: Entry[] = [];

beforeAll(() =>
  runScript({ file: demo, logLevel: 'silent', show: (entry) => entries.push(entry) }),
);

describe('what the real commands say, as Discord messages', () => {
  it('is registered with definitions Discord takes', () => {
    expect(definitionProblems(commandsJson(commands))).toEqual([]);
  });

  it('leaves nothing out, and writes every press into its button', () => {
    expect(entries.length).toBeGreaterThan(20);
    for (const { reply, atMs } of entries) {
      const { messages, problems, kept } = renderReply(reply, { nowMs: atMs, trip: 'k3v9x2ab' });
      expect(problems).toEqual([]);
      expect(messages.length).toBeLessThanOrEqual(2);
      const ids = messages.flatMap((m) => m.rows.flatMap((r) => r.components));
      expect(ids.map((c) => pressOf('custom_id' in c ? c.custom_id : c.url, kept)?.press)).toEqual(
        (reply.buttons ?? []).map((b) => b.press),
      );
    }
  });
});

/** What a button stands for, in its id or beside it. */
function pressOf(id: string, kept: readonly KeptPress[]) {
  const fact = keptFactOf(id);
  return decodePress(kept.find((k) => k.fact === fact)?.text ?? id);
}
