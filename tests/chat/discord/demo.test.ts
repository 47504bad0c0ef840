import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { commands } from '../../../commands/index.ts';
import { buildBot } from '../../../src/bot.ts';
import { decodePress } from '../../../src/chat/discord/custom-id.ts';
import { definitionProblems } from '../../../src/chat/discord/definition-limits.ts';
import { commandsJson } from '../../../src/chat/discord/definitions.ts';
import { renderReply } from '../../../src/chat/discord/render.ts';
import { type Entry, LocalChannel } from '../../../src/chat/local/channel.ts';
import { play } from '../../../src/chat/local/play.ts';
import { parseScript } from '../../../src/chat/local/script.ts';
import { ScriptClock } from '../../../src/chat/local/script-clock.ts';
import { openSqliteStore } from '../../../src/store/sqlite/store.ts';
import { countedIds } from '../../../src/system/ids.ts';
import { createLog } from '../../../src/system/log.ts';

const folder = fileURLToPath(new URL('../../../deploy/demo/', import.meta.url));
const store = openSqliteStore({ path: ':memory:' });
const entries: Entry[] = [];

beforeAll(async () => {
  const script = parseScript(readFileSync(`${folder}harrow.txt`, 'utf8'), 'harrow.txt');
  const clock = new ScriptClock(script.steps[0]?.atMs ?? 0);
  const app = buildBot({ store, clock, ids: countedIds(), log: createLog('silent') });
  const channel = new LocalChannel(app, (entry) => entries.push(entry));
  await play({ channel, script, clock, folder });
});
afterAll(() => store.close());

describe('what the real commands say, as Discord messages', () => {
  it('is registered with definitions Discord takes', () => {
    expect(definitionProblems(commandsJson(commands))).toEqual([]);
  });

  it('leaves nothing out, and writes every press into its button', () => {
    expect(entries.length).toBeGreaterThan(20);
    for (const { reply, atMs } of entries) {
      const { messages, problems } = renderReply(reply, { nowMs: atMs, trip: 'k3v9x2ab' });
      expect(problems).toEqual([]);
      expect(messages.length).toBeLessThanOrEqual(2);
      const ids = messages.flatMap((m) => m.rows.flatMap((r) => r.components));
      expect(ids.map((c) => decodePress(c.custom_id)?.press)).toEqual(
        (reply.buttons ?? []).map((b) => b.press),
      );
    }
  });
});
