import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type Bot, startBot } from './bot.ts';

let bot: Bot;

beforeAll(async () => {
  bot = await startBot();
});
afterAll(() => bot.close());

describe('commands, through the real client', () => {
  it('arrive with every kind of option', async () => {
    const { stand, mara, dana, wall, calls, guild } = bot;
    const answer = await stand.slash(mara, wall, '/echo all', {
      text: '*hello* @everyone',
      count: 5,
      ratio: 0.5,
      sure: false,
      who: dana,
      file: { name: 'topo.csv', bytes: new TextEncoder().encode('pitch,length\n') },
      units: 'm',
      pitch: 10,
    });
    expect(answer.text).toBe(
      'text=\\*hello\\* \\@everyone count=5 ratio=0.5 sure=false who=Dana file=topo.csv units=m pitch=10\n' +
        'file holds 13 bytes',
    );
    expect(calls.at(-1)?.call).toMatchObject({
      id: answer.interaction.id,
      atMs: bot.clock.wallMs(),
      actor: { id: mara.id, name: 'Mara' },
      where: { channel: wall.id, guild: guild.id, direct: false },
    });
    expect(calls.at(-1)?.args.who).toEqual({ id: dana.id, name: 'Dana' });
    expect(answer.private).toBe(false);
  });

  it('work in a direct message', async () => {
    const { stand, dana, calls } = bot;
    const channel = stand.dm(dana);
    const answer = await stand.slash(dana, channel, '/post done', { number: 3 });
    expect(answer.text).toContain('Pitch 3 done');
    expect(calls.at(-1)?.call.where).toEqual({ channel: channel.id, direct: true });
  });

  it('tell the asker only what is private', async () => {
    const { stand, mara, dana, wall } = bot;
    const answer = await stand.slash(mara, wall, '/echo secret');
    expect(answer.private).toBe(true);
    expect(stand.sees(dana, wall)).not.toContain(answer.message);
  });

  it('tell the asker only why something was refused, with the way out', async () => {
    const { stand, mara, wall, calls } = bot;
    const answer = await stand.slash(mara, wall, '/echo refuse');
    expect(answer.private).toBe(true);
    expect(answer.text).toBe("Pitch 7 isn't done yet, so 8 can't be.");
    await stand.press(mara, answer, '7 as well');
    expect(calls.at(-1)?.args).toEqual({ number: 7 });
  });

  it('give a reference that stands in the log when something breaks', async () => {
    const { stand, mara, wall, logged } = bot;
    const answer = await stand.slash(mara, wall, '/echo fail');
    const [, reference] = /Reference (R\d+)\./u.exec(answer.text) ?? [];
    expect(logged.some((l) => l.reference === reference && l.path === 'echo fail')).toBe(true);
  });

  it('show a table, a described file, and ping whom they may', async () => {
    const { stand, mara, dana, wall } = bot;
    const answer = await stand.slash(mara, wall, '/post board');
    expect(answer.text).toBe(
      [
        `Told <@${dana.id}> and \\*Mara\\*.`,
        '```',
        'Pitch  Lead   m',
        '    1  Mara  38',
        '    2  Pål   41',
        '```',
        'Two of nine.',
      ].join('\n'),
    );
    const [file] = answer.message.files;
    expect(file?.attachment).toMatchObject({ filename: 'board.txt', description: 'The board' });
    expect(answer.message.pings.users).toEqual([dana.id]);
  });

  it('go on in further messages, and in a file when there is very much', async () => {
    const { stand, mara, wall } = bot;
    const longer = await stand.slash(mara, wall, '/post long', { lines: 60 });
    await longer.whenMessages(2);
    expect(longer.text.split('\n')).toHaveLength(60);
    expect(longer.messages.map((m) => m.components.length)).toEqual([0, 1]);
    const longest = await stand.slash(mara, wall, '/post long', { lines: 400 });
    expect(longest.messages).toHaveLength(1);
    expect(longest.message.files[0]?.attachment.filename).toBe('answer.txt');
    expect(new TextDecoder().decode(longest.message.files[0]?.bytes)).toContain('Line 400 ');
  });

  it('complete an option while it is typed', async () => {
    const { stand, mara, wall } = bot;
    const found = await stand.autocomplete(mara, wall, '/echo all', ['pitch', '1']);
    expect(found).toEqual([1, 10, 11].map((value) => ({ name: `Pitch ${value}`, value })));
  });

  it('never had an answer that Discord would refuse, nor left its mentions open', () => {
    expect(bot.stand.refusals()).toEqual([]);
    const said = bot.stand.journal
      .of('request')
      .map((r) => (r.body as { data?: { content?: string } } | undefined)?.data)
      .filter((data) => data?.content !== undefined);
    expect(said.length).toBeGreaterThan(5);
    for (const data of said) expect(data).toMatchObject({ allowed_mentions: { parse: [] } });
    expect(bot.logged.filter((l) => Number(l.level) >= 50 && l.path !== 'echo fail')).toEqual([]);
  });
});

describe('buttons', () => {
  it('do what they say, for the trip they belong to', async () => {
    const { stand, mara, dana, wall, calls } = bot;
    const answer = await stand.slash(mara, wall, '/post done', { number: 4, at: '10m ago' });
    expect(answer.buttons).toEqual(['Undo', 'Change the time']);
    const undone = await stand.press(dana, answer, 'Undo');
    expect(undone.text).toBe('Struck p4.');
    expect(calls.at(-1)?.call).toMatchObject({
      id: undone.interaction.id,
      trip: 'trip0001',
      actor: { id: dana.id },
    });
  });

  it('open a form first where typing is needed', async () => {
    const { stand, mara, wall, calls } = bot;
    const answer = await stand.slash(mara, wall, '/post done', { number: 4 });
    const form = await stand.press(mara, answer, 'Change the time');
    expect(form.modal.title).toBe('When was it?');
    const changed = await stand.submitModal(mara, form, { Time: '14:05' });
    expect(changed.text).toContain('Pitch 4 done at 14:05');
    expect(calls.at(-1)?.args).toEqual({ number: 4, at: '14:05' });
    expect(calls.at(-1)?.call.trip).toBe('trip0001');
  });

  it('work after a restart', async () => {
    const old = await startBot();
    const answer = await old.stand.slash(old.mara, old.wall, '/post done', { number: 9 });
    await old.chat.close();
    const again = await old.start();
    const undone = await old.stand.press(old.mara, answer, 'Undo');
    expect(undone.text).toBe('Struck p9.');
    const form = await old.stand.press(old.mara, answer, 'Change the time');
    await old.stand.submitModal(old.mara, form, { Time: '14:05' });
    expect(old.calls.at(-1)?.args).toEqual({ number: 9, at: '14:05' });
    await again.close();
    await old.stand.close();
  });

  it('of another version say so', async () => {
    const { stand, mara, wall } = bot;
    const answer = await stand.slash(mara, wall, '/post done', { number: 4 });
    const row = answer.message.components[0] as { components: { custom_id: string }[] };
    const [button] = row.components;
    if (button !== undefined) button.custom_id = '0:old';
    const told = await stand.press(mara, answer, 'Undo');
    expect(told.private).toBe(true);
    expect(told.text).toContain('another version of the bot');
  });
});
