import {
  type APIApplicationCommandOption,
  ButtonStyle,
  type ChatInputCommandInteraction,
  Client,
  ComponentType,
  DiscordAPIError,
  type Interaction,
  MessageFlags,
  TextInputStyle,
} from 'discord.js';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import { type Scene, scene } from './help.ts';

let s: Scene;

/** One command with every option type that commands here use. */
const OPTIONS: APIApplicationCommandOption[] = [
  {
    type: 1,
    name: 'done',
    description: 'A pitch is done.',
    options: [
      { type: 4, name: 'number', description: 'Its number.', required: true, min_value: 1 },
      { type: 3, name: 'at', description: 'When.', autocomplete: true, max_length: 20 },
      { type: 6, name: 'leader', description: 'Who led.' },
      { type: 11, name: 'file', description: 'A file.' },
      { type: 5, name: 'quiet', description: 'Only for me.' },
      { type: 10, name: 'length', description: 'Metres.', max_value: 150 },
      {
        type: 3,
        name: 'mode',
        description: 'How.',
        choices: [
          { name: 'free', value: 'free' },
          { name: 'aid', value: 'aid' },
        ],
      },
    ],
  },
];

beforeEach(async () => {
  s = await scene();
  await s.login();
  await s.client.application?.commands.set([
    { name: 'pitch', description: 'Pitches.', options: OPTIONS as never },
  ]);
});

afterEach(() => s.end());

const done = (options: Parameters<typeof s.stand.slash>[3], waiting = {}) =>
  s.stand.slash(s.mara, s.wall, '/pitch done', options, waiting);

const onCommand = (run: (i: ChatInputCommandInteraction) => Promise<unknown>) =>
  s.answering(async (i: Interaction) => (i.isChatInputCommand() ? run(i) : undefined));

const ROW = {
  type: ComponentType.ActionRow as const,
  components: [
    {
      type: ComponentType.Button as const,
      style: ButtonStyle.Secondary as const,
      label: 'Undo',
      custom_id: 'undo',
    },
  ],
};

describe('a slash command', () => {
  test('carries every option type, and the attached file can be fetched', async () => {
    onCommand(async (i) => {
      const file = i.options.getAttachment('file', true);
      const body = await (await fetch(file.url)).text();
      const words = [
        i.options.getSubcommand(),
        i.options.getInteger('number'),
        i.options.getString('at'),
        i.options.getUser('leader')?.displayName,
        i.options.getBoolean('quiet'),
        i.options.getNumber('length'),
        i.options.getString('mode'),
        file.name,
        body,
      ];
      await i.reply({ content: words.join(' ') });
    });
    const answer = await done({
      number: 5,
      at: '-10m',
      leader: s.jonas,
      file: { name: 'topo.csv', bytes: Buffer.from('1;30;6a') },
      quiet: false,
      length: 38.5,
      mode: 'aid',
    });
    expect(answer.text).toBe('done 5 -10m Jonas false 38.5 aid topo.csv 1;30;6a');
    expect(s.stand.refusals()).toEqual([]);
  });

  test('is answered with a file, whose bytes a test can read', async () => {
    onCommand((i) =>
      i.reply({ files: [{ name: 'log.csv', attachment: Buffer.from('a;b'), description: 'Log' }] }),
    );
    const [file] = (await done({ number: 1 })).message.files;
    expect(file?.attachment).toMatchObject({ filename: 'log.csv', description: 'Log' });
    expect(Buffer.from(file?.bytes ?? []).toString()).toBe('a;b');
  });

  test('an ephemeral answer is on its asker’s screen only', async () => {
    onCommand((i) => i.reply({ content: 'Only you.', flags: MessageFlags.Ephemeral }));
    const answer = await done({ number: 1 });
    expect(answer.private).toBe(true);
    expect(s.stand.sees(s.mara, s.wall).map((m) => m.content)).toEqual(['Only you.']);
    expect(s.stand.sees(s.jonas, s.wall)).toEqual([]);
  });

  test('a deferred answer is waited out, follow-ups come after it', async () => {
    onCommand(async (i) => {
      await i.deferReply();
      await i.editReply('First.');
      await i.followUp('Second.');
    });
    const answer = await done({ number: 1 });
    expect(answer.ack).toBe(5);
    await answer.whenMessages(2);
    expect(answer.text).toBe('First.\nSecond.');
  });

  test('with_response gives the client the message', async () => {
    let id: string | undefined;
    onCommand(async (i) => {
      const response = await i.reply({ content: 'Here.', withResponse: true });
      id = response.resource?.message?.id;
    });
    const answer = await done({ number: 1 });
    await expect.poll(() => id).toBe(answer.message.id);
  });

  test.each([
    [{ number: 0 }, /number is at least 1/u],
    [{ number: 1.5 }, /number is whole/u],
    [{ at: 'now' }, /needed: number/u],
    [{ number: 1, nonsense: 1 }, /no option nonsense/u],
    [{ number: 'five' }, /number is a number/u],
    [{ number: 1, mode: 'fast' }, /mode is one of free, aid/u],
    [{ number: 1, length: 151 }, /length is at most 150/u],
    [{ number: 1, at: 'x'.repeat(21) }, /at has at most 20 characters/u],
  ])('the app would not send %j', async (options, why) => {
    await expect(done(options)).rejects.toThrow(why);
  });
});

describe('strictness', () => {
  const failure = () => s.failures.at(-1) as DiscordAPIError;

  test('a second acknowledgement is 40060', async () => {
    onCommand(async (i) => {
      await i.reply('Once.');
      // The client keeps count itself; a twin of the interaction doesn't know of the first answer.
      i.replied = false;
      await i.reply('Twice.');
    });
    await done({ number: 1 });
    await expect.poll(failure).toBeInstanceOf(DiscordAPIError);
    expect(failure()).toMatchObject({ code: 40060, status: 400 });
  });

  test('an answer after three seconds is 10062', async () => {
    onCommand(async (i) => {
      s.clock.advance(3_001);
      await i.reply('Late.');
    });
    await expect(done({ number: 1 })).rejects.toThrow(/10062/u);
    expect(s.stand.sees(s.mara, s.wall)).toEqual([]);
  });

  test('three seconds to the millisecond are in time', async () => {
    onCommand(async (i) => {
      s.clock.advance(3_000);
      await i.reply('Just.');
    });
    expect((await done({ number: 1 })).text).toBe('Just.');
  });

  test('the token dies after fifteen minutes', async () => {
    onCommand(async (i) => {
      await i.reply('Now.');
      s.clock.advance(15 * 60_000);
      await i.followUp('Still.');
      s.clock.advance(1);
      await i.followUp('Gone.');
    });
    await done({ number: 1 });
    await expect.poll(failure).toBeInstanceOf(DiscordAPIError);
    expect(failure()).toMatchObject({ code: 50027, status: 401 });
    expect(s.stand.sees(s.mara, s.wall).map((m) => m.content)).toEqual(['Now.', 'Still.']);
  });

  test('a follow-up before the answer is 10015', async () => {
    onCommand(async (i) => {
      i.replied = true;
      await i.followUp('Too soon.');
    });
    await expect(done({ number: 1 })).rejects.toThrow(/10015/u);
  });

  test('deferring takes no flag but EPHEMERAL', async () => {
    onCommand((i) => i.deferReply({ flags: MessageFlags.SuppressEmbeds as never }));
    await expect(done({ number: 1 })).rejects.toThrow(/50035.*flags/u);
  });

  test('a command can’t be answered as if it were a button', async () => {
    onCommand((i) =>
      i.client.rest.post(`/interactions/${i.id}/${i.token}/callback`, {
        auth: false,
        body: { type: 7, data: { content: 'x' } },
      }),
    );
    await expect(done({ number: 1 })).rejects.toThrow(/50035/u);
  });

  test('a repeat of the same interaction may not be acknowledged again', async () => {
    let count = 0;
    onCommand((i) => {
      count += 1;
      return i.reply(`Time ${count}.`);
    });
    const answer = await done({ number: 1 });
    const outcome = await s.stand.redeliver(answer.interaction);
    expect(outcome).toEqual({ accepted: false, code: 40060 });
    expect(s.stand.sees(s.mara, s.wall).map((m) => m.content)).toEqual(['Time 1.']);
  });
});

describe('buttons and forms', () => {
  test('a press updates its message, or leads to a form that answers', async () => {
    s.answering(async (i) => {
      if (i.isChatInputCommand()) await i.reply({ content: 'Done.', components: [ROW] });
      else if (i.isButton() && i.message.content === 'Done.') {
        await i.update({ content: 'Sure?', components: [ROW] });
      } else if (i.isButton()) {
        await i.showModal({
          custom_id: 'when',
          title: 'When?',
          components: [
            {
              type: ComponentType.Label,
              label: 'Time',
              component: {
                type: ComponentType.TextInput,
                custom_id: 'at',
                style: TextInputStyle.Short,
                max_length: 5,
              },
            },
          ],
        });
      } else if (i.isModalSubmit() && i.isFromMessage()) {
        await i.update({ content: `At ${i.fields.getTextInputValue('at')}.`, components: [] });
      }
    });
    const answer = await done({ number: 1 });
    expect(answer.buttons).toEqual(['Undo']);
    const sure = await s.stand.press(s.mara, answer, 'Undo');
    expect(sure.message).toBe(answer.message);
    expect(answer.text).toBe('Sure?');
    const form = await s.stand.press(s.jonas, answer, 'Undo');
    await expect(s.stand.submitModal(s.mara, form, { Time: '1' })).rejects.toThrow(/not open/u);
    await expect(s.stand.submitModal(s.jonas, form, {})).rejects.toThrow(/Time is needed/u);
    await expect(s.stand.submitModal(s.jonas, form, { Time: '123456' })).rejects.toThrow(/0 to 5/u);
    await s.stand.submitModal(s.jonas, form, { Time: '14:05' });
    expect(answer.text).toBe('At 14:05.');
    expect(answer.message.texts).toEqual(['Done.', 'Sure?', 'At 14:05.']);
    await expect(s.stand.press(s.mara, answer, 'Undo')).rejects.toThrow(/no button/u);
  });

  test('a deferred update may be filled in later', async () => {
    s.answering(async (i) => {
      if (i.isChatInputCommand()) await i.reply({ content: 'Done.', components: [ROW] });
      if (!i.isButton()) return;
      await i.deferUpdate();
      await i.editReply({ content: 'Undone.' });
    });
    const answer = await done({ number: 1 });
    const pressed = await s.stand.press(s.mara, answer, 'Undo');
    expect(pressed.ack).toBe(6);
    expect(answer.text).toBe('Undone.');
  });

  test('nobody presses what they don’t see', async () => {
    onCommand((i) => i.reply({ content: 'x', components: [ROW], flags: MessageFlags.Ephemeral }));
    const answer = await done({ number: 1 });
    await expect(s.stand.press(s.jonas, answer, 'Undo')).rejects.toThrow(/does not see/u);
  });
});

describe('in a direct message', () => {
  test('a command is answered, and a notice’s button still works', async () => {
    s.answering(async (i) => {
      if (i.isChatInputCommand()) await i.reply(i.inGuild() ? 'server' : 'direct');
      if (i.isButton())
        await i.update({ content: `${i.user.displayName} has it.`, components: [] });
    });
    const dm = s.stand.dm(s.dana);
    const answer = await s.stand.slash(s.dana, dm, '/pitch done', { number: 1 });
    expect(answer.text).toBe('direct');
    const notice = await (await s.client.users.fetch(s.dana.id)).send({
      content: 'Overdue.',
      components: [ROW],
    });
    const shown = s.stand.sees(s.dana, dm).find((m) => m.id === notice.id);
    if (shown === undefined) throw new Error('the notice is not there');
    const pressed = await s.stand.press(s.dana, shown, 'Undo');
    expect(pressed.text).toBe('Dana has it.');
    await expect(s.stand.slash(s.mara, dm, '/pitch done', { number: 1 })).rejects.toThrow(
      /not in/u,
    );
  });
});

describe('two processes with one token', () => {
  test('both hear of it, one may answer', async () => {
    const twin = new Client({ intents: [], ...s.stand.clientOptions() });
    const codes: unknown[] = [];
    const answer = (i: Interaction) => {
      if (!i.isChatInputCommand()) return;
      i.reply('Mine.').then(
        () => codes.push('accepted'),
        (error: DiscordAPIError) => codes.push(error.code),
      );
    };
    s.client.on('interactionCreate', answer);
    twin.on('interactionCreate', answer);
    await twin.login(s.stand.token);
    expect(s.stand.gateway.sessions.size).toBe(2);
    await s.stand.slash(s.mara, s.wall, '/pitch done', { number: 1 }, { allowRefusals: true });
    await expect.poll(() => codes).toHaveLength(2);
    expect(codes.sort()).toEqual([40060, 'accepted']);
    expect(s.stand.sees(s.mara, s.wall)).toHaveLength(1);
    await twin.destroy();
  });
});

describe('autocomplete', () => {
  const ask = () =>
    s.stand.autocomplete(s.mara, s.wall, '/pitch done', ['at', '14'], { number: 3 });

  test('suggestions know what is typed and what is filled in', async () => {
    s.answering(async (i) => {
      if (!i.isAutocomplete()) return;
      const text = `${i.options.getFocused()} ${i.options.getInteger('number')}`;
      await i.respond([{ name: text, value: text }]);
    });
    expect(await ask()).toEqual([{ name: '14 3', value: '14 3' }]);
  });

  test.each([
    ['26 choices', Array.from({ length: 26 }, (_, n) => ({ name: `${n}`, value: `${n}` }))],
    ['a name of 101', [{ name: 'x'.repeat(101), value: 'x' }]],
    ['a value of 101', [{ name: 'x', value: 'x'.repeat(101) }]],
    ['a number for text', [{ name: 'x', value: 1 }]],
  ])('%s is refused', async (_what, choices) => {
    s.answering(async (i) => {
      if (i.isAutocomplete()) await i.respond(choices);
    });
    await expect(ask()).rejects.toThrow(/50035/u);
  });

  test('an option without autocomplete offers nothing', async () => {
    const asked = s.stand.autocomplete(s.mara, s.wall, '/pitch done', ['mode', 'f']);
    await expect(asked).rejects.toThrow(/no suggestions/u);
  });
});
