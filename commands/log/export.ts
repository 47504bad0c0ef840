import { sub } from '../../src/app/command.ts';
import { followChain } from '../../src/record/chain.ts';
import { exportCsv, exportJsonLines } from '../../src/record/file/export.ts';
import { lookBack } from '../../src/record/trips.ts';
import { fileName } from '../../src/say/message.ts';
import { chainLines } from './words.ts';

const options = {} as const;

declare module '../../src/say/press.ts' {
  interface Paths {
    'log export': typeof options;
  }
}

/** The whole record as two files, private: it holds phones and addresses. */
export const exportRecord = sub({
  description: 'The whole record as files that can be read back',
  access: 'act',
  private: true,
  options,
  async run(call, _args, app) {
    const { row, state } = await lookBack(app, call, 'act');
    const entries = await app.store.sealed(row.id);
    const chain = await followChain(entries, row.seq);
    const name = `${fileName(state.name)}-record`;
    return {
      lines: [
        `${entries.length} entries, as JSON Lines and as CSV.`,
        ...chainLines(chain),
        'Keep them to yourself: phones, addresses and medical notes are in them.',
        ['Either opens an identical trip elsewhere: ', { code: '/trip open record:' }],
      ],
      files: [await exportJsonLines(name, entries), await exportCsv(name, entries)],
      private: true,
    };
  },
});
