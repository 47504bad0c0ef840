import { afterEach, beforeEach, describe, expect, it, onTestFinished } from 'vitest';
import { resultLines } from '../../../commands/board/words.ts';
import { boardOf } from '../../../src/app/board/content.ts';
import { startForecast } from '../../../src/forecast/forecast.ts';
import { forecastInput } from '../../../src/forecast/input.ts';
import { openDemo, text, type World, world } from '../../helpers/world.ts';

let w: World;
beforeEach(async () => {
  w = await world();
  await openDemo(w);
});
afterEach(() => w.close());

/** The board as it stands at the world's clock, with a small forecast. */
async function board() {
  const { state } = await w.trip();
  const nowMs = w.clock.wallMs();
  const run = startForecast(forecastInput(state, nowMs, { ascents: 200 }));
  while (!run.step(200)) {
    // Goes on until all ascents are made.
  }
  const forecast = run.result();
  return { reply: boardOf(state, forecast, nowMs), forecast, state };
}

const labels = (reply: { buttons?: readonly { label: string }[] }) =>
  reply.buttons?.map((b) => b.label);

describe('the board', () => {
  it('says where the party is, who leads now and next, the top-out, and offers three posts', async () => {
    await w.say('mara', '/trip depart');
    await w.say('greta', '/pitch start number:1 at:06:10');
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done number:1 at:07:10');
    await w.say('mara', '/cutoff add kind:own at:21:15 label:"Last boat"');
    const { reply } = await board();
    const said = text(reply);
    expect(said).toContain('Harrow Tower: Departed 06:10. 1 of 8 pitches done; pitch 2 next.');
    expect(said).toContain('Next: Jonas, pitch 2. Then: 3 Ines');
    expect(said).toMatch(/Top-out .*\d\d:\d\d/u);
    expect(said).toContain('Last boat 21:15');
    expect(said).toContain('Last heard 07:10, 50 min ago: pitch 1 done');
    expect(said).toContain('As of 08:00. A forecast, not a decision');
    expect(labels(reply)).toEqual(['Pitch 2 fixed', 'Pitch 2 done', 'Pitch 2 done at…']);
    expect(reply.buttons?.[2]?.ask?.fields[0]?.name).toBe('at');
  });

  it('offers no fixed for a pitch that is fixed, and the whole link when pitches are linked', async () => {
    await w.say('mara', '/trip depart');
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch fixed number:1 at:07:10');
    expect(labels((await board()).reply)).toEqual(['Pitch 1 done', 'Pitch 1 done at…']);
    await w.say('greta', '/pitch done number:1');
    await w.say('mara', '/trip edit lead_line:100');
    await w.say('mara', '/lead link pitch:2');
    const { reply, state } = await board();
    expect(state.links.has(2)).toBe(true);
    expect(labels(reply)?.[1]).toBe('Pitches 2 and 3 done');
    expect(reply.buttons?.[1]?.press).toEqual({ path: 'pitch done', options: { number: 3 } });
  });

  it('says ahead or behind once there is a schedule', async () => {
    await w.say('mara', '/trip depart');
    await w.say('greta', '/pitch start number:1 at:06:10');
    w.at('2031-06-12 08:00');
    await w.say('greta', '/pitch done number:1');
    const { state, forecast } = await board();
    const nowMs = w.clock.wallMs();
    const planned = state.pitches.map((p, i) => ({
      pitch: p.number,
      plannedMs: nowMs + (i * 60 - 35) * 60_000,
    }));
    const schedule = { checkpoints: planned, confidence: 0.9, setAtMs: nowMs, seq: 1 };
    const said = text(boardOf({ ...state, schedule }, forecast, nowMs));
    expect(said).toContain('Behind by 35 min at pitch 1');
  });

  it('before the start says what starts the watch, and after the end says so without buttons', async () => {
    const first = (await board()).reply;
    expect(text(first)).toContain('The watch starts with /trip depart.');
    expect(labels(first)).toEqual(['Departed']);
    await w.say('mara', '/trip depart');
    w.at('2031-06-12 20:00');
    for (let n = 1; n <= 8; n++) await w.say('greta', `/pitch done number:${n}`);
    await w.say('mara', '/trip down');
    const { reply } = await board();
    expect(text(reply)).toContain('Everyone down 20:00.');
    expect(text(reply)).not.toContain('Top-out');
    expect(labels(reply)).toEqual([]);
  });

  it('puts an alarm before all else', async () => {
    await w.say('mara', '/trip depart');
    const { state, forecast } = await board();
    const dueMs = w.clock.wallMs() - 60 * 60_000;
    const promise = { id: 'p', seq: 90, dueMs, by: state.openedBy };
    const raised = {
      seq: 91,
      atMs: dueMs,
      phase: 'uncertainty' as const,
      root: 'checkin:p',
      dueMs,
      to: ['@field'],
    };
    // The last sign of life is long before the promise.
    const signs = state.watch.signs.map((s) => ({ ...s, atMs: dueMs - 10 * 60 * 60_000 }));
    const alarmed = {
      ...state,
      watch: { ...state.watch, signs, promises: [promise], raised: [raised] },
    };
    const [first] = text(boardOf(alarmed, forecast, w.clock.wallMs())).split('\n');
    expect(first).toBe('No word yet. Expected: a check-in at 05:10. /overdue show');
  });
});

describe('/board where nothing can be pinned', () => {
  it('answers with the board itself and the picture in text', async () => {
    const drawn = await world({
      pictures: {
        file: async () => undefined,
        text: (_state, _forecast, _nowMs, width) => ['x'.repeat(width)],
      },
    });
    onTestFinished(() => drawn.close());
    await openDemo(drawn);
    const reply = await drawn.say('greta', '/board');
    expect(text(reply)).toContain('Harrow Tower: Preparing');
    expect(reply.after).toEqual(['x'.repeat(78)]);
  });
});

describe('what came of it', () => {
  const none = { shown: false, pinned: false, bare: false };
  it.each([
    [{ ...none, shown: true, pinned: true }, 'The board is up to date and pinned.'],
    [{ ...none, shown: true, why: 'no-permission' as const }, 'Grant tagline Pin Messages'],
    [{ ...none, why: 'no-permission' as const }, 'Send Messages and Attach Files'],
    [{ ...none, why: 'no-access' as const }, 'View Channel'],
    [{ ...none, shown: true, why: 'pins-full' as const }, 'Unpin one'],
    [{ ...none, why: 'archived' as const }, 'archived or locked'],
    [{ ...none, why: 'later' as const }, 'tried again by itself'],
    [{ shown: true, pinned: true, bare: true }, 'grant tagline Attach Files'],
  ])('%j tells %s', (result, words) => {
    expect(resultLines(result).join('\n')).toContain(words);
  });
});
