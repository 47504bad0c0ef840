import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { type Bot, startBot, until } from './bot.ts';

const CALLBACK = 'POST /interactions/:interaction/:token/callback';

let bot: Bot;

beforeAll(async () => {
  bot = await startBot();
});
afterEach(() => {
  bot.gate.open();
  bot.stand.faults.clear();
});
afterAll(() => bot.close());

/** Asks for something slow and lets so much time pass that it is deferred. */
async function slowly(path: string, options = {}) {
  const { stand, mara, wall, gate, calls, clock } = bot;
  gate.close();
  const before = calls.length;
  const asked = stand.slash(mara, wall, path, options, { until: 'ack' });
  await until(() => calls.length > before);
  clock.moveTo(clock.wallMs() + 800);
  const answer = await asked;
  expect(answer.ack).toBe(5);
  return answer;
}

const loading = (answer: { messages: readonly { loading: boolean; deleted: boolean }[] }) =>
  answer.messages.some((m) => m.loading && !m.deleted);
const idle = () => until(() => bot.chat.health().underWay === 0);

describe('a slow answer', () => {
  it('is announced after 800 ms and then filled in', async () => {
    const answer = await slowly('/echo slow');
    expect(loading(answer)).toBe(true);
    bot.gate.open();
    await idle();
    expect(answer.text).toBe('Done at last.');
    expect(answer.messages).toHaveLength(1);
    expect(answer.private).toBe(false);
  });

  it('is announced to the asker only when it will be for the asker only', async () => {
    const answer = await slowly('/echo secret');
    expect(answer.private).toBe(true);
    bot.gate.open();
    await idle();
    expect(answer.private).toBe(true);
    expect(bot.stand.sees(bot.dana, bot.wall)).not.toContain(answer.message);
  });

  it.each([
    ['turns out private', { private: true }, 'Done at last.'],
    ['is refused', { refuse: true }, 'Not now.'],
  ])('is never shown to others when it %s', async (_, options, text) => {
    const answer = await slowly('/echo slow', options);
    bot.gate.open();
    await idle();
    const [announced, shown] = answer.messages;
    expect(announced?.deleted).toBe(true);
    expect(announced?.texts.join()).not.toContain(text);
    expect(shown?.content).toBe(text);
    expect(shown?.onlyFor).toBe(bot.mara.id);
  });
});

describe('answers among many', () => {
  it('are announced at once, all of them, and one alone afterwards isn’t', async () => {
    const { stand, mara, wall, gate, calls } = bot;
    const ask = () => stand.slash(mara, wall, '/echo slow', {}, { until: 'ack' });
    gate.close();
    const before = calls.length;
    const four = [1, 2, 3, 4].map(ask);
    await until(() => calls.length === before + 4);
    // The clock stands: without the fifth they would wait.
    const all = await Promise.all([...four, ask()]);
    expect(all.map((a) => a.ack)).toEqual([5, 5, 5, 5, 5]);
    gate.open();
    await idle();
    expect(all.map((a) => a.text)).toEqual(Array(5).fill('Done at last.'));
    expect((await ask()).ack).toBe(4);
  });
});

describe('a slow answer that names somebody who is to be rung', () => {
  it('rings them: it comes as a new message, because filling in the announcement rings nobody', async () => {
    // resources/message.mdx, Edit Message: an edit notifies nobody, whatever it mentions.
    const before = bot.stand.notified(bot.dana).length;
    const answer = await slowly('/echo slow', { ring: true });
    bot.gate.open();
    await idle();
    const rung = bot.stand.notified(bot.dana).slice(before);
    expect(rung.map((m) => m.content)).toEqual(['Done at last, <@900000000000000001>.']);
    const [announced, shown] = answer.messages;
    expect(announced?.deleted).toBe(true);
    expect(shown?.onlyFor).toBeUndefined();
    expect(bot.stand.sees(bot.dana, bot.wall)).toContain(shown);
  });
});

describe('when Discord does not take an answer', () => {
  it('tells a change in the channel when the token is dead', async () => {
    const { stand, mara, wall, gate, clock, calls } = bot;
    gate.close();
    const before = calls.length;
    const asked = stand.slash(mara, wall, '/echo slow', {}, { until: 'ack', allowRefusals: true });
    asked.catch(() => {});
    await until(() => calls.length > before);
    // So late that even the announcement comes after three seconds.
    clock.moveTo(clock.wallMs() + 3_500);
    gate.open();
    await idle();
    const told = wall.messages.at(-1);
    expect(told?.content).toBe('Done at last.');
    expect(told?.nonce).toBe(calls.at(-1)?.call.id);
    expect(bot.logged.at(-1)).toMatchObject({ why: 'token-dead', level: 40 });
  });

  it.each([
    ['a refusal', { refuse: true }, 'Not now.', 'was not taken'],
    ['a private answer', { private: true }, 'Done at last.', 'was taken'],
  ])(
    'tells %s to the asker alone; where that fails the channel hears whom to tell to look',
    async (_, options, text, said) => {
      const { stand, mara, wall } = bot;
      const dead = () =>
        stand.faults.add({ route: CALLBACK, fault: { what: 'code', status: 404, code: 10062 } });
      const ask = async () => {
        dead();
        const asked = stand.slash(mara, wall, '/echo slow', options, {
          until: 'ack',
          allowRefusals: true,
        });
        asked.catch(() => {});
        await stand.journal.until(() => stand.journal.entries.at(-1)?.kind === 'request');
        await idle();
      };
      const before = wall.messages.length;
      await ask();
      expect(stand.dm(mara).messages.at(-1)?.content).toBe(text);
      expect(wall.messages.length).toBe(before);
      mara.dmClosed = true;
      await ask();
      mara.dmClosed = false;
      const inChannel = wall.messages.at(-1)?.content ?? '';
      expect(inChannel).toContain(said);
      expect(inChannel).toContain(`<@${mara.id}>`);
      expect(inChannel).not.toContain(text);
    },
  );

  it.each([['a mere look', '/post long', { lines: 1 }]])(
    'does not tell %s in the channel',
    async (_, path, options) => {
      const { stand, mara, wall } = bot;
      const before = wall.messages.length;
      stand.faults.add({ route: CALLBACK, fault: { what: 'code', status: 404, code: 10062 } });
      const asked = stand.slash(mara, wall, path, options, { until: 'ack', allowRefusals: true });
      asked.catch(() => {});
      await stand.journal.until(() => stand.journal.entries.at(-1)?.kind === 'request');
      await idle();
      expect(wall.messages.length).toBe(before);
    },
  );

  it('keeps quiet when another process has answered already', async () => {
    const { stand, mara, wall } = bot;
    const answer = await stand.slash(mara, wall, '/post done', { number: 2 });
    const before = wall.messages.length;
    expect(await stand.redeliver(answer.interaction)).toEqual({ accepted: false, code: 40060 });
    await idle();
    expect(wall.messages.length).toBe(before);
    expect(bot.logged.at(-1)).toMatchObject({ why: 'already-answered', level: 40 });
  });

  it('answers once though the first try was accepted and its answer lost', async () => {
    const { stand, mara, wall } = bot;
    const fault = { what: 'status', status: 502, accepted: true } as const;
    stand.faults.add({ route: CALLBACK, fault });
    const answer = await stand.slash(mara, wall, '/post done', { number: 2 });
    await idle();
    expect(answer.messages).toHaveLength(1);
    expect(wall.messages.filter((m) => m.interactionId === answer.interaction.id)).toHaveLength(1);
  });

  it('fills in an announcement whose acceptance was lost', async () => {
    bot.stand.faults.add({
      route: CALLBACK,
      fault: { what: 'status', status: 502, accepted: true },
    });
    const answer = await slowly('/echo slow');
    bot.gate.open();
    await idle();
    expect(answer.text).toBe('Done at last.');
  });

  it('leaves a file away that is too large', async () => {
    const { stand, mara, wall } = bot;
    stand.faults.add({ route: CALLBACK, fault: { what: 'code', status: 413, code: 40005 } });
    const answer = await stand.slash(mara, wall, '/post board', {}, { allowRefusals: true });
    await idle();
    expect(answer.text).toContain('The file is too large to send here.');
    expect(answer.message.files).toEqual([]);
  });

  it('falls back to bare words when the form is refused', async () => {
    const { stand, mara, wall } = bot;
    stand.faults.add({ route: CALLBACK, fault: { what: 'code', status: 400, code: 50035 } });
    const options = { number: 2 };
    const answer = await stand.slash(mara, wall, '/post done', options, { allowRefusals: true });
    await idle();
    expect(answer.text).toContain('Pitch 2 done');
    expect(answer.buttons).toEqual([]);
  });

  it('does not mind a completion that came too late', async () => {
    const { stand, mara, wall } = bot;
    stand.faults.add({ route: CALLBACK, fault: { what: 'code', status: 404, code: 10062 } });
    stand.autocomplete(mara, wall, '/echo all', ['pitch', '1']).catch(() => {});
    await stand.journal.until(() => stand.journal.entries.at(-1)?.kind === 'request');
    await idle();
    expect(bot.logged.at(-1)).toMatchObject({ why: 'token-dead', level: 20 });
  });
});

describe('closing', () => {
  it('finishes what is under way and takes nothing new', async () => {
    const own = await startBot();
    const { stand, mara, guild, wall, gate, calls, chat } = own;
    gate.close();
    const slow = stand.slash(mara, wall, '/echo slow');
    await until(() => calls.length === 1);
    const closed = chat.close();
    const late = await stand.slash(mara, wall, '/post done', { number: 1 });
    expect(late.text).toBe('The bot is being restarted. Try again in a minute.');
    // In a direct message as their chat says: no record is read any more.
    const edda = stand.addUser('Edda', { locale: 'de' });
    guild.members.set(edda.id, guild.members.get(mara.id) ?? 0n);
    const german = await stand.slash(edda, stand.dm(edda), '/post done', { number: 1 });
    expect(german.text).toContain('Der Bot wird gerade neu gestartet');
    gate.open();
    expect((await slow).text).toBe('Done at last.');
    await closed;
    expect(calls).toHaveLength(1);
    await stand.close();
  });

  it('does not wait for ever', async () => {
    const own = await startBot();
    own.gate.close();
    own.stand.slash(own.mara, own.wall, '/echo slow').catch(() => {});
    await until(() => own.calls.length === 1);
    let closed = false;
    const closing = own.chat.close().then(() => {
      closed = true;
    });
    await until(() => own.chat.health().underWay === 1);
    expect(closed).toBe(false);
    own.clock.moveTo(own.clock.wallMs() + 10_000);
    await closing;
    await own.stand.close();
  });
});
