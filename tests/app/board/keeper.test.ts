import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { pino } from 'pino';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { BoardKeeper, type BoardView } from '../../../src/app/board/keeper.ts';
import type { BoardChannel, BoardTrouble } from '../../../src/app/board/port.ts';
import type { Store } from '../../../src/store/port.ts';
import { openSqliteStore } from '../../../src/store/sqlite/store.ts';
import { ManualClock } from '../../helpers/clock.ts';
import { ROOM } from '../../helpers/room.ts';
import { append, open as openTrip } from '../../store/posts.ts';

const TRIP = 'trip0001';

/** A channel with one message, which can be made to fail; it writes down what was asked of it. */
class FakeChannel implements BoardChannel {
  asked: string[] = [];
  shown: string | undefined;
  trouble: Partial<Record<'post' | 'edit' | 'pin' | 'remove', BoardTrouble>> = {};
  /** Refuses files only. */
  noFiles = false;
  nonces: string[] = [];
  #count = 0;

  async post(channel: string, message: Parameters<BoardChannel['post']>[1], nonce: string) {
    this.asked.push('post');
    const refused = this.#refused('post', message);
    if (refused !== undefined) return { ok: false as const, why: refused };
    if (!this.nonces.includes(nonce)) {
      this.nonces.push(nonce);
      this.#count += 1;
    }
    this.shown = String(message.reply.lines[0]);
    return { ok: true as const, value: { channel, message: `m${this.#count}` } };
  }

  async edit(
    place: Parameters<BoardChannel['edit']>[0],
    message: Parameters<BoardChannel['edit']>[1],
  ) {
    this.asked.push('edit');
    const refused = this.#refused('edit', message);
    if (refused !== undefined) return { ok: false as const, why: refused };
    this.shown = String(message.reply.lines[0]);
    return { ok: true as const, value: place };
  }

  async pin() {
    this.asked.push('pin');
    const why = this.trouble.pin;
    return why === undefined
      ? { ok: true as const, value: true as const }
      : { ok: false as const, why };
  }

  async remove() {
    this.asked.push('remove');
    const why = this.trouble.remove;
    return why === undefined
      ? { ok: true as const, value: true as const }
      : { ok: false as const, why };
  }

  #refused(what: 'post' | 'edit', message: Parameters<BoardChannel['post']>[1]) {
    if (this.noFiles && (message.reply.files ?? []).length > 0) return 'no-permission' as const;
    return this.trouble[what];
  }
}

let folder: string;
let store: Store;
let clock: ManualClock;
let channel: FakeChannel;
let keeper: BoardKeeper;
/** What the trip amounts to now; the board shows it. */
let version: number;
let view: Partial<BoardView>;

const file = { name: 'trip.png', mime: 'image/png', bytes: new Uint8Array([1]) };

function start(owner = 'here/1/1'): BoardKeeper {
  return new BoardKeeper({
    owner,
    store,
    clock,
    log: pino({ level: 'silent' }),
    channel,
    view: async () => ({
      channel: 'c1',
      reply: { lines: [`v${version}`], files: [file] },
      live: false,
      ended: false,
      ...view,
    }),
  });
}

beforeEach(() => {
  folder = mkdtempSync(join(ROOM, 'tagline-board-'));
  store = openSqliteStore({ path: join(folder, 'trips.db') });
  clock = new ManualClock();
  clock.set(1_900_000_000_000);
  channel = new FakeChannel();
  version = 1;
  view = {};
  keeper = start();
});
afterEach(async () => {
  await keeper.close();
  expect(clock.sleeping).toBe(0);
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

/** Lets everything that is ready run: the store commits in the next turns of the event loop. */
async function settle(): Promise<void> {
  for (let i = 0; i < 30; i++) await new Promise((resolve) => setImmediate(resolve));
}

async function pass(ms: number): Promise<void> {
  await settle();
  clock.advance(ms);
  await settle();
}

describe('the keeper', () => {
  it('posts and pins when asked, and changes in place from then on', async () => {
    expect(await keeper.show(TRIP)).toEqual({ shown: true, pinned: true, bare: false });
    version = 2;
    keeper.touch(TRIP);
    await pass(5_000);
    expect(channel.asked).toEqual(['post', 'pin', 'edit']);
    expect(channel.shown).toBe('v2');
    expect(await store.board(TRIP)).toMatchObject({
      posts: 1,
      pinned: true,
      message: { channel: 'c1', message: 'm1' },
    });
  });

  it('shows nothing for a trip on which nobody asked for a board', async () => {
    keeper.touch(TRIP);
    await pass(60_000);
    expect(channel.asked).toEqual([]);
  });

  it('makes a hundred posts in a minute a dozen changes, the last of which shows the last', async () => {
    await keeper.show(TRIP);
    for (let i = 0; i < 100; i++) {
      version = 100 + i;
      keeper.touch(TRIP);
      await pass(600);
    }
    await pass(5_000);
    const edits = channel.asked.filter((a) => a === 'edit').length;
    expect(edits).toBeGreaterThanOrEqual(10);
    expect(edits).toBeLessThanOrEqual(13);
    expect(channel.shown).toBe('v199');
  });

  it('posts and pins a new one when the message was deleted', async () => {
    await keeper.show(TRIP);
    channel.trouble.edit = 'gone';
    version = 2;
    keeper.touch(TRIP);
    await pass(5_000);
    expect(channel.asked).toEqual(['post', 'pin', 'edit', 'post', 'pin']);
    expect(channel.nonces).toEqual([`board-${TRIP}-1`, `board-${TRIP}-2`]);
    expect((await store.board(TRIP))?.message?.message).toBe('m2');
  });

  it('takes its boards up again after a restart, without a second message', async () => {
    view = { live: true };
    await keeper.show(TRIP);
    await keeper.close();
    version = 7;
    keeper = start();
    await keeper.start();
    await pass(0);
    expect(channel.asked).toEqual(['post', 'pin', 'edit']);
    expect(channel.shown).toBe('v7');
  });

  it('shows one board when the process died between sending and keeping the message', async () => {
    // What such a death leaves behind: the post was counted, its message isn't known.
    await store.setBoard(TRIP, { posts: 1, pinned: false, wanted: true });
    channel.nonces.push(`board-${TRIP}-1`);
    await keeper.show(TRIP);
    expect(channel.nonces).toEqual([`board-${TRIP}-1`]);
  });

  it('tries again by itself, ever more slowly, when the chat is down', async () => {
    await keeper.show(TRIP);
    channel.trouble.edit = 'later';
    version = 2;
    keeper.touch(TRIP);
    await pass(5_000);
    await pass(10_000);
    await pass(29_000);
    expect(channel.asked.filter((a) => a === 'edit')).toHaveLength(2);
    channel.trouble = {};
    await pass(1_000);
    expect(channel.shown).toBe('v2');
    await pass(600_000);
    expect(channel.asked.filter((a) => a === 'edit')).toHaveLength(3);
  });

  it('shows one board, changed once, when several processes hear of every change', async () => {
    await openTrip(store, TRIP);
    const others = [start('here/2/1'), start('there/1/1')];
    const all = [keeper, ...others];
    const shown = Promise.all([keeper.show(TRIP), others[0]?.show(TRIP)]);
    // One of the two waits for the other.
    await pass(1_000);
    const results = await shown;
    expect(results.filter((r) => r?.shown)).toHaveLength(2);
    expect(channel.nonces).toEqual([`board-${TRIP}-1`]);
    channel.asked = [];
    view = { live: true };
    for (const seq of [1, 2, 3]) {
      await store.append(append(TRIP, seq));
      version = seq + 10;
      for (const each of all) each.touch(TRIP);
      await pass(5_000);
      await pass(5_000);
      expect(channel.shown).toBe(`v${version}`);
    }
    expect(channel.asked).toEqual(['edit', 'edit', 'edit']);
    // Time alone changes it too: once, whichever process comes first.
    await pass(600_000);
    await pass(5_000);
    expect(channel.asked).toHaveLength(4);
    // The others go on when one has ended.
    await keeper.close();
    await pass(600_000);
    await pass(600_000);
    expect(channel.asked.length).toBeGreaterThan(4);
    for (const other of others) await other.close();
  });

  it('keeps every board when two processes make them at the same moment', async () => {
    const other = start('here/2/1');
    const trips = Array.from({ length: 40 }, (_, i) => `trip${1000 + i}`);
    await Promise.all(trips.map((trip, i) => (i % 2 ? keeper : other).show(trip)));
    expect((await store.wantedBoards()).sort()).toEqual(trips);
    await other.close();
  });

  it('leaves the picture out where files may not be attached', async () => {
    channel.noFiles = true;
    expect(await keeper.show(TRIP)).toEqual({ shown: true, pinned: true, bare: true });
    expect(channel.asked).toEqual(['post', 'post', 'pin']);
  });

  it('does not knock with every post at a channel that it may not write', async () => {
    await keeper.show(TRIP);
    channel.trouble = { edit: 'no-permission', post: 'no-permission' };
    for (let i = 0; i < 60; i++) {
      keeper.touch(TRIP);
      await pass(1_000);
    }
    // At 5 s, then after 10 s and 30 s; each of them once with and once without the picture.
    expect(channel.asked.filter((a) => a === 'edit').length).toBeLessThanOrEqual(6);
    channel.trouble = {};
    expect((await keeper.show(TRIP)).shown).toBe(true);
  });

  it('says when it is up but not pinned, and pins when asked again', async () => {
    channel.trouble.pin = 'no-permission';
    expect(await keeper.show(TRIP)).toMatchObject({
      shown: true,
      pinned: false,
      why: 'no-permission',
    });
    channel.trouble = {};
    expect(await keeper.show(TRIP)).toMatchObject({ shown: true, pinned: true });
  });

  it('is made anew while a party is out, because time itself changes it, and not afterwards', async () => {
    view = { live: true };
    await keeper.show(TRIP);
    await pass(600_000);
    await pass(600_000);
    expect(channel.asked.filter((a) => a === 'edit')).toHaveLength(2);
    view = { live: false, ended: true };
    await pass(600_000);
    await pass(6_000_000);
    expect(channel.asked.filter((a) => a === 'edit')).toHaveLength(3);
    expect(await store.wantedBoards()).toEqual([]);
  });

  it('takes up after a restart a board that was made before the party left', async () => {
    await keeper.show(TRIP);
    view = { live: true };
    keeper.touch(TRIP);
    await pass(5_000);
    await keeper.close();
    version = 9;
    keeper = start();
    await keeper.start();
    await pass(0);
    expect(channel.shown).toBe('v9');
  });

  it('puts up no new one when the last was deleted by the time the trip is closed', async () => {
    await keeper.show(TRIP);
    channel.trouble.edit = 'gone';
    view = { ended: true };
    keeper.touch(TRIP);
    await pass(5_000);
    await pass(600_000);
    expect(channel.asked).toEqual(['post', 'pin', 'edit']);
    expect(await store.wantedBoards()).toEqual([]);
  });

  it('is taken away when its trip is erased, and says when it could not be', async () => {
    expect(await keeper.remove(TRIP)).toBe(true);
    await keeper.show(TRIP);
    channel.trouble.remove = 'no-permission';
    expect(await keeper.remove(TRIP)).toBe(false);
    channel.trouble.remove = 'gone';
    expect(await keeper.remove(TRIP)).toBe(true);
    channel.trouble = {};
    expect(await keeper.remove(TRIP)).toBe(true);
    expect(channel.asked.filter((a) => a === 'remove')).toHaveLength(3);
    expect(await store.wantedBoards()).toEqual([]);
  });

  it('goes on when a board could not be made', async () => {
    await keeper.show(TRIP);
    const good = view;
    view = {
      get channel(): string {
        throw new Error('no forecast');
      },
    };
    keeper.touch(TRIP);
    await pass(5_000);
    view = good;
    version = 3;
    await pass(10_000);
    expect(channel.shown).toBe('v3');
  });

  it('takes its facts along when a trip is purged', async () => {
    await keeper.show(TRIP);
    await store.purge(TRIP, clock.wallMs());
    expect(await store.board(TRIP)).toBeUndefined();
  });
});
