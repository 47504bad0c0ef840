import { type Call, type Command, sub } from '../../src/app/command.ts';
import { Refusal } from '../../src/say/refusal.ts';
import type { Reply } from '../../src/say/reply.ts';

/** What the commands were called with, in order. */
export type Calls = { call: Call; args: Record<string, unknown> }[];

/** A few commands that use every option type, buttons, forms, files, tables and private answers. */
// What these tests press beside the real commands.
declare module '../../src/say/press.ts' {
  interface Paths {
    'post done': { number: { type: 'integer' }; at: { type: 'string' } };
    'post undo': { entry: { type: 'string' } };
  }
}

export function fakeCommands(calls: Calls, hold: () => Promise<void> = async () => {}): Command[] {
  return [
    {
      name: 'help',
      description: 'What to do next',
      bare: sub({
        description: 'What to do next',
        options: {},
        access: 'anyone',
        run: async () => ({ lines: ['Type ', ['Then: ', { code: '/echo all text:"hello"' }]] }),
      }),
    },
    {
      name: 'echo',
      description: 'Says it back',
      subs: {
        all: sub({
          description: 'Every kind of option',
          access: 'anyone',
          options: {
            text: { type: 'string', description: 'Any text', required: true, maxLength: 200 },
            count: { type: 'integer', description: 'A whole number', min: 1, max: 40 },
            ratio: { type: 'number', description: 'A number' },
            sure: { type: 'boolean', description: 'Yes or no' },
            who: { type: 'user', description: 'A person' },
            file: { type: 'file', description: 'A file' },
            units: {
              type: 'string',
              description: 'Units',
              choices: [
                { name: 'feet', value: 'ft' },
                { name: 'metres', value: 'm' },
              ],
            },
            pitch: {
              type: 'integer',
              description: 'A pitch',
              suggest: async (_c, typed) =>
                [1, 2, 10, 11]
                  .filter((n) => String(n).startsWith(typed))
                  .map((value) => ({ name: `Pitch ${value}`, value })),
            },
            token: { type: 'string', description: 'Set by our buttons', hidden: true },
          },
          run: async (call, args) => {
            calls.push({ call, args });
            const bytes = await args.file?.bytes(64);
            const shown = Object.entries(args).map(
              ([k, v]) => `${k}=${typeof v === 'object' ? v.name : v}`,
            );
            return {
              lines: [
                shown.join(' '),
                ...(bytes === undefined ? [] : [`file holds ${bytes.length} bytes`]),
              ],
            };
          },
        }),
        slow: sub({
          description: 'Takes its time',
          access: 'act',
          options: {
            private: { type: 'boolean', description: 'For you only' },
            refuse: { type: 'boolean', description: 'Refuses' },
            ring: { type: 'boolean', description: 'Rings Dana' },
          },
          run: async (call, args): Promise<Reply> => {
            calls.push({ call, args });
            await hold();
            if (args.refuse === true) throw new Refusal('restarting', 'Not now.');
            if (args.ring === true) {
              return {
                lines: [['Done at last, ', { text: 'Dana', userId: '900000000000000001' }, '.']],
                pings: ['900000000000000001'],
              };
            }
            return {
              lines: ['Done at last.'],
              ...(args.private === true ? { private: true } : {}),
            };
          },
        }),
        secret: sub({
          description: 'For you only',
          access: 'look',
          private: true,
          options: {},
          run: async (call, args) => {
            calls.push({ call, args });
            await hold();
            return { lines: ['Phone +47 00 00 00 00'], private: true };
          },
        }),
        fail: sub({
          description: 'Breaks',
          access: 'anyone',
          options: {},
          run: async () => {
            throw new Error('boom');
          },
        }),
        refuse: sub({
          description: 'Refuses',
          access: 'act',
          options: {},
          run: async () => {
            throw new Refusal(
              'previous-not-done',
              ["Pitch 7 isn't done yet, so 8 can't be."],
              [{ label: '7 as well', press: { path: 'post done', options: { number: 7 } } }],
            );
          },
        }),
      },
    },
    {
      name: 'post',
      description: 'Posts',
      subs: {
        done: sub({
          description: 'Marks a pitch done',
          access: 'act',
          options: {
            number: { type: 'integer', description: 'Which pitch', required: true, min: 1 },
            at: { type: 'string', description: 'When it was' },
          },
          run: async (call, args): Promise<Reply> => {
            calls.push({ call, args });
            return {
              lines: [
                [
                  'Pitch ',
                  String(args.number),
                  ' done at ',
                  { text: args.at ?? '14:22', atMs: 1_940_000_000_000 },
                  '.',
                ],
              ],
              buttons: [
                {
                  label: 'Undo',
                  press: { path: 'post undo', options: { entry: `p${args.number}` } },
                },
                {
                  label: 'Change the time',
                  press: { path: 'post done', options: { number: args.number } },
                  ask: {
                    title: 'When was it?',
                    fields: [{ name: 'at', label: 'Time', placeholder: '14:10 or 20m ago' }],
                  },
                },
              ],
            };
          },
        }),
        undo: sub({
          description: 'Takes it back',
          access: 'act',
          options: {
            entry: { type: 'string', description: 'Which', required: true },
          },
          run: async (call, args): Promise<Reply> => {
            calls.push({ call, args });
            return { lines: [`Struck ${args.entry}.`] };
          },
        }),
        board: sub({
          description: 'A table, a file and a person',
          access: 'look',
          options: {},
          run: async (call, args): Promise<Reply> => {
            calls.push({ call, args });
            return {
              lines: [
                [
                  'Told ',
                  { text: 'Dana', userId: '900000000000000001' },
                  ' and ',
                  { text: '*Mara*', userId: '900000000000000002' },
                  '.',
                ],
              ],
              table: {
                head: ['Pitch', 'Lead', 'm'],
                align: ['right', 'left', 'right'],
                rows: [
                  ['1', 'Mara', '38'],
                  ['2', 'Pål', '41'],
                ],
              },
              after: ['Two of nine.'],
              files: [
                {
                  name: 'board.txt',
                  mime: 'text/plain',
                  bytes: new TextEncoder().encode('board'),
                  alt: 'The board',
                },
              ],
              pings: ['900000000000000001'],
            };
          },
        }),
        long: sub({
          description: 'Says a lot',
          access: 'look',
          options: { lines: { type: 'integer', description: 'How many', required: true } },
          run: async (_call, args): Promise<Reply> => ({
            lines: Array.from(
              { length: args.lines },
              (_, i) => `Line ${i + 1} of the long answer, forty or more characters.`,
            ),
            buttons: [{ label: 'Undo', press: { path: 'post undo', options: { entry: 'x' } } }],
          }),
        }),
      },
    },
  ];
}
